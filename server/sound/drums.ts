/**
 * Synthesised drums. A piece of the kit is a list of parts (a skin's tone, a wire's noise, a plate's metal), each
 * with its own decay; pieces.ts says of which parts each key is made.
 */
import { filter, type FilterKind } from "./filter.ts";
import { seeded } from "./random.ts";
import { RATE } from "./rate.ts";

interface Part {
  /** Against the other parts of the piece. */
  readonly level: number;
  /** Seconds until it has fallen by 60 dB. */
  readonly decay: number;
  /** Seconds from the strike; default 0. */
  readonly delay?: number;
  /** Seconds to rise; default 0.0005. */
  readonly attack?: number;
  /** How much more it comes out in a hard stroke: its level is multiplied by force^bright. Default 0. */
  readonly bright?: number;
}

export interface Tone extends Part {
  readonly kind: "tone";
  /** Hz it settles on, times which it starts, and seconds for that to fall to a third. */
  readonly hertz: number;
  readonly start?: number;
  readonly bend?: number;
  readonly shape?: "sine" | "triangle" | "square";
}

export interface Noise extends Part {
  readonly kind: "noise";
  readonly filters: readonly (readonly [FilterKind, number, number?])[];
}

/** Six square waves that share no harmonic: a cymbal's plate. */
export interface Metal extends Part {
  readonly kind: "metal";
  readonly hertz: number;
  readonly filters: readonly (readonly [FilterKind, number, number?])[];
}

export interface Piece {
  readonly parts: readonly (Tone | Noise | Metal)[];
  /** Peak at the hardest stroke, of full scale. */
  readonly peak: number;
  /** −1 left to 1 right, as the drummer sees it. */
  readonly pan: number;
  /** Saturation, 0 none. */
  readonly drive?: number;
  /** Cutoff of what the softest stroke lets through, Hz; default 4000. */
  readonly soft?: number;
  /** How much of the room around it is heard, against itself; default 0. */
  readonly room?: number;
}

export interface Drum {
  readonly left: Float32Array;
  readonly right: Float32Array;
}

/** Ratios of the six squares of a plate, chosen by ear. */
const PLATE = [1, 1.3416, 1.6765, 1.9831, 2.4173, 2.7389];

/** Strokes of different force are rendered in so many layers. */
export const LAYERS = 4;
/** How hard a stroke of a layer is, 0 to 1. */
const forceOf = (layer: number): number => (layer + 1) / LAYERS;

const secondsOf = (piece: Piece): number =>
  piece.parts.reduce((most, { decay, delay = 0 }) => Math.max(most, delay + decay), 0);

/** Renders a piece; deterministic for its seed. */
export function renderDrum(piece: Piece, layer: number, seed: number): Drum {
  const force = forceOf(layer);
  const frames = Math.ceil(secondsOf(piece) * RATE);
  const sound = new Float32Array(frames);
  const random = seeded(seed);
  for (const part of piece.parts) addPart(sound, part, force, random);
  const { drive = 0, soft = 4000 } = piece;
  if (drive > 0) for (let i = 0; i < frames; i++) sound[i] = Math.tanh(sound[i]! * drive);
  if (force < 1) filter(sound, "lowpass", soft * (18_000 / soft) ** force, 0.6);
  let peak = 0;
  for (const value of sound) peak = Math.max(peak, Math.abs(value));
  const gain = peak === 0 ? 0 : piece.peak / peak;
  const tail = Math.min(frames, Math.round(0.01 * RATE));
  const turn = ((piece.pan + 1) * Math.PI) / 4;
  for (let i = 0; i < frames; i++) {
    const fade = i < frames - tail ? 1 : (frames - i) / tail;
    sound[i] = sound[i]! * gain * fade;
  }
  const { room = 0 } = piece;
  return {
    left: heardIn(room, sound, Math.cos(turn) * Math.SQRT2, ROOM_LEFT),
    right: heardIn(room, sound, Math.sin(turn) * Math.SQRT2, ROOM_RIGHT),
  };
}

/** Seconds until a reflection has fallen by 60 dB, and reflections in that time. */
const ROOM = 0.22;
const REFLECTIONS = 56;

/** A small room: when reflections arrive, in frames, and how strong they are; sparse, never two alike. */
function reflections(seed: number): { readonly at: Int32Array; readonly gain: Float32Array } {
  const random = seeded(seed);
  const at = new Int32Array(REFLECTIONS);
  const gain = new Float32Array(REFLECTIONS);
  for (let i = 0; i < REFLECTIONS; i++) {
    const seconds = 0.004 + (ROOM * (i + random())) / REFLECTIONS;
    at[i] = Math.round(seconds * RATE);
    gain[i] = (random() < 0.5 ? -1 : 1) * 10 ** ((-3 * seconds) / ROOM);
  }
  return { at, gain };
}
const ROOM_LEFT = reflections(4101);
const ROOM_RIGHT = reflections(4102);

/** One side: the sound itself, and what walls give back, without its lowest and its highest part. */
function heardIn(room: number, sound: Float32Array, gain: number, walls: typeof ROOM_LEFT): Float32Array {
  const rings = room === 0 ? 0 : Math.round((ROOM + 0.005) * RATE);
  const side = new Float32Array(sound.length + rings);
  if (room > 0) {
    for (const [i, delay] of walls.at.entries()) {
      const part = room * walls.gain[i]!;
      for (let k = 0; k < sound.length && delay + k < side.length; k++) {
        side[delay + k] = side[delay + k]! + part * sound[k]!;
      }
    }
    filter(side, "highpass", 300);
    filter(side, "lowpass", 7000);
  }
  for (let k = 0; k < sound.length; k++) side[k] = side[k]! + gain * sound[k]!;
  return side;
}

function addPart(
  sound: Float32Array,
  part: Piece["parts"][number],
  force: number,
  random: () => number,
): void {
  const { delay = 0, attack = 0.0005, bright = 0 } = part;
  const from = Math.round(delay * RATE);
  const frames = Math.min(sound.length - from, Math.ceil(part.decay * RATE));
  if (frames <= 0) return;
  const raw = new Float32Array(frames);
  if (part.kind === "tone") oscillate(raw, part, force);
  else {
    if (part.kind === "noise") for (let i = 0; i < frames; i++) raw[i] = random() + random() - 1;
    else for (const ratio of PLATE) addSquare(raw, part.hertz * ratio, random());
    for (const [kind, hertz, q] of part.filters) filter(raw, kind, hertz, q);
  }
  const fall = Math.log(0.001) / (part.decay * RATE);
  const rise = Math.max(1, attack * RATE);
  const level = part.level * force ** bright;
  for (let i = 0; i < frames; i++) {
    sound[from + i] = sound[from + i]! + level * raw[i]! * Math.exp(fall * i) * Math.min(1, (i + 1) / rise);
  }
}

function oscillate(
  raw: Float32Array,
  { hertz, start = 1, bend = 0.02, shape = "sine" }: Tone,
  force: number,
): void {
  // A hard stroke stretches the skin more.
  const sweep = (start - 1) * (0.6 + 0.4 * force);
  let phase = 0;
  for (let i = 0; i < raw.length; i++) {
    const wave = Math.sin(phase);
    raw[i] =
      shape === "sine" ? wave : shape === "triangle" ? (2 / Math.PI) * Math.asin(wave) : Math.tanh(4 * wave);
    phase += (2 * Math.PI * hertz * (1 + sweep * Math.exp(-i / (bend * RATE)))) / RATE;
  }
}

function addSquare(raw: Float32Array, hertz: number, phase: number): void {
  let turn = phase;
  for (let i = 0; i < raw.length; i++) {
    raw[i] = raw[i]! + (turn < 0.5 ? 1 : -1);
    turn += hertz / RATE;
    if (turn >= 1) turn -= 1;
  }
}
