/** Second-order filters for synthesis: R. Bristow-Johnson, Cookbook formulae for audio EQ biquad filters. */
import { RATE } from "./rate.ts";

export type FilterKind = "lowpass" | "highpass" | "bandpass";

/** Filters a sound in place. The frequency is kept below half the rate; a band pass has 0 dB at its peak. */
export function filter(sound: Float32Array, kind: FilterKind, hertz: number, q = Math.SQRT1_2): void {
  const omega = (2 * Math.PI * Math.min(hertz, 0.45 * RATE)) / RATE;
  const cos = Math.cos(omega);
  const alpha = Math.sin(omega) / (2 * q);
  const a0 = 1 + alpha;
  const side = kind === "lowpass" ? (1 - cos) / 2 : kind === "highpass" ? (1 + cos) / 2 : alpha;
  const middle = kind === "lowpass" ? 1 - cos : kind === "highpass" ? -(1 + cos) : 0;
  const b0 = side / a0;
  const b1 = middle / a0;
  const b2 = (kind === "bandpass" ? -alpha : side) / a0;
  const a1 = (-2 * cos) / a0;
  const a2 = (1 - alpha) / a0;
  let x1 = 0;
  let x2 = 0;
  let y1 = 0;
  let y2 = 0;
  for (let i = 0; i < sound.length; i++) {
    const x = sound[i]!;
    const y = b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
    x2 = x1;
    x1 = x;
    y2 = y1;
    y1 = y;
    sound[i] = y;
  }
}
