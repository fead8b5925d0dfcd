/** How much later a recording is than the rendering as a whole, roughly: where their rises in power agree most. */
import { BANDS } from "./bands.ts";
import type { Model } from "./model.ts";

/** Frames of one step of the search. */
const STEP = 4;

/** How much comes newly into the bands, smoothed over some 30 ms so that an unsteady hand still fits. */
function rises({ frames, log }: Model): Float64Array {
  const count = Math.floor(frames / STEP);
  const raw = new Float64Array(count);
  for (let at = 2; at < count; at++) {
    let sum = 0;
    for (let band = 0; band < BANDS; band++)
      sum += Math.max(
        0,
        (log[at * STEP * BANDS + band] as number) - (log[(at - 2) * STEP * BANDS + band] as number),
      );
    raw[at] = sum;
  }
  const weights = [1, 2, 3, 4, 3, 2, 1];
  const smooth = new Float64Array(count);
  let mean = 0;
  for (let at = 0; at < count; at++) {
    for (const [index, weight] of weights.entries())
      smooth[at] = (smooth[at] as number) + weight * (raw[at + index - 3] ?? 0);
    mean += (smooth[at] as number) / count;
  }
  return smooth.map((value) => value - mean);
}

/** @param around, reach milliseconds: where it is looked for @returns milliseconds */
export function roughLag(expected: Model, heard: Model, around: number, reach: number): number {
  const a = rises(expected);
  const b = rises(heard);
  let best = Math.round(around / STEP);
  let most = Number.NEGATIVE_INFINITY;
  for (let lag = Math.round((around - reach) / STEP); lag <= (around + reach) / STEP; lag++) {
    let sum = 0;
    for (let at = Math.max(0, -lag); at < a.length && at + lag < b.length; at++)
      sum += (a[at] as number) * (b[at + lag] as number);
    // Of two that fit alike the one nearer to where it is thought to be.
    const value = sum * (1 - (0.1 * Math.abs(lag * STEP - around)) / (reach + 1));
    if (value > most) {
      most = value;
      best = lag;
    }
  }
  return best * STEP;
}
