/** The drum kit that a renderer strikes: pieces rendered when first struck, and then kept. */
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

/** How loud a stroke is against the hardest: half the velocity is 10 dB less. */
const strokeGain = (velocity: number): number => (velocity / 127) ** 1.7;

const layerOf = (velocity: number): number => Math.min(LAYERS - 1, Math.floor((velocity * LAYERS) / 128));

/** A kit without memory of its own past: what it strikes depends on key and velocity alone. */
export function createKit(): Kit {
  const kept = new Map<number, Drum>();
  return {
    longest: 3 * RATE,
    hit(key, velocity) {
      const layer = layerOf(velocity);
      const name = key * LAYERS + layer;
      let drum = kept.get(name);
      if (drum === undefined) {
        drum = renderDrum(pieceOf(key), layer, 7919 * key + layer);
        kept.set(name, drum);
      }
      return { ...drum, gain: strokeGain(velocity) };
    },
  };
}
