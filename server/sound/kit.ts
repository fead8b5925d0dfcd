/**
 * The drum kit that a renderer strikes: pieces rendered when first struck, and then kept. Each takes some
 * milliseconds, so who cannot wait has them rendered elsewhere before (`lacks`, `renderStroke`, `put`).
 */
import { type Drum, LAYERS, renderDrum } from "./drums.ts";
import { pieceOf } from "./pieces.ts";
import { RATE } from "./rate.ts";

export interface Hit extends Drum {
  readonly gain: number;
}

export interface Kit {
  /** @param key 0 to 127 (General MIDI's percussion map); @param velocity 1 to 127 */
  hit(key: number, velocity: number): Hit;
  /** Frames of the longest piece. */
  readonly longest: number;
}

export interface FillableKit extends Kit {
  /** The number of a stroke that was not rendered yet, else null. */
  lacks(key: number, velocity: number): number | null;
  put(stroke: number, drum: Drum): void;
}

/** How loud a stroke is against the hardest: half the velocity is 10 dB less. */
const strokeGain = (velocity: number): number => (velocity / 127) ** 1.7;

const layerOf = (velocity: number): number => Math.min(LAYERS - 1, Math.floor((velocity * LAYERS) / 128));

const strokeOf = (key: number, velocity: number): number => key * LAYERS + layerOf(velocity);

/** @param stroke a number that `lacks` gave */
export function renderStroke(stroke: number): Drum {
  const [key, layer] = [Math.floor(stroke / LAYERS), stroke % LAYERS];
  return renderDrum(pieceOf(key), layer, 7919 * key + layer);
}

/** A kit without memory of its own past: what it strikes depends on key and velocity alone. */
export function createKit(): FillableKit {
  const kept = new Map<number, Drum>();
  return {
    longest: 3 * RATE,
    hit(key, velocity) {
      const stroke = strokeOf(key, velocity);
      let drum = kept.get(stroke);
      if (drum === undefined) {
        drum = renderStroke(stroke);
        kept.set(stroke, drum);
      }
      return { ...drum, gain: strokeGain(velocity) };
    },
    lacks(key, velocity) {
      const stroke = strokeOf(key, velocity);
      return kept.has(stroke) ? null : stroke;
    },
    put: (stroke, drum) => void kept.set(stroke, drum),
  };
}
