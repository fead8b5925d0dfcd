/** Additive synthesis of a voiced sound: the harmonics of a pitch under a spectrum that changes. */
import { RATE } from "./rate.ts";

export interface Voiced {
  readonly seconds: number;
  /** Hz at a time in seconds. */
  pitch(time: number): number;
  /** Level of a frequency at a time. */
  level(hertz: number, time: number): number;
  /** Highest harmonic, Hz; default 12000. */
  readonly highest?: number;
}

/** Frames between two looks at the spectrum. */
const LOOK = 64;

/** Adds the sound to `out`, from frame `from` on. */
export function addHarmonics(out: Float32Array, from: number, voiced: Voiced): void {
  const frames = Math.min(out.length - from, Math.round(voiced.seconds * RATE));
  const { highest = 12_000 } = voiced;
  let phase = 0;
  let now = levels(voiced, 0, highest);
  for (let start = 0; start < frames; start += LOOK) {
    const next = levels(voiced, (start + LOOK) / RATE, highest);
    const count = Math.max(now.length, next.length);
    for (let i = 0; i < Math.min(LOOK, frames - start); i++) {
      phase += (2 * Math.PI * voiced.pitch((start + i) / RATE)) / RATE;
      // sin kx = 2 cos x sin (k−1)x − sin (k−2)x
      const double = 2 * Math.cos(phase);
      let before = 0;
      let sine = Math.sin(phase);
      let sum = 0;
      const part = i / LOOK;
      for (let k = 0; k < count; k++) {
        const a = now[k] ?? 0;
        sum += (a + part * ((next[k] ?? 0) - a)) * sine;
        const after = double * sine - before;
        before = sine;
        sine = after;
      }
      out[from + start + i] = out[from + start + i]! + sum;
    }
    now = next;
  }
}

function levels(voiced: Voiced, time: number, highest: number): Float64Array {
  const pitch = voiced.pitch(time);
  return Float64Array.from({ length: Math.floor(highest / pitch) }, (_, k) =>
    voiced.level((k + 1) * pitch, time),
  );
}

/** Formants of a vowel, Hz, lowest first. */
export type Formants = readonly number[];

/** Averages of men's vowels: Peterson and Barney (1952), J. Acoust. Soc. Am. 24; figures from memory. */
export const VOWELS = {
  ah: [730, 1090, 2440],
  aw: [570, 840, 2410],
  oo: [300, 870, 2240],
  ee: [270, 2290, 3010],
} as const satisfies Record<string, Formants>;

const UPPER = [3500, 4500];

/** A mouth's response: resonances in a row, as wide as 7 % of their frequency or 60 Hz, whichever is more. */
export function mouth(formants: Formants, hertz: number): number {
  let gain = 1;
  for (const formant of [...formants, ...UPPER]) {
    const width = Math.max(60, formant * 0.07);
    const square = formant * formant;
    gain *= square / Math.hypot(square - hertz * hertz, width * hertz);
  }
  return gain;
}

/** Formants on the way from one vowel to another, eased; part 0 to 1. */
export function between(a: Formants, b: Formants, part: number): Formants {
  const way = 0.5 - 0.5 * Math.cos(Math.PI * Math.max(0, Math.min(1, part)));
  return a.map((formant, i) => formant * (b[i]! / formant) ** way);
}
