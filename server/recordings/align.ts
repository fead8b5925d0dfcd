/**
 * How much later one recording is than another at an onset, finer than any frame of a detector: the loudness around
 * the onset is laid over that of the rendering and moved until they agree best (least squares of log loudness, with
 * a parabola through the best three shifts).
 */

/** Loudness a millisecond at a time: log power of each, quiet ones raised to the floor. */
export interface Contour {
  readonly power: Float64Array;
  /** Power that is exceeded nine tenths of the time: what noise there is. */
  readonly floor: number;
}

const PER_SECOND = 1000;

/** @param samples one channel at `rate` samples a second */
export function contourOf(samples: Float32Array, rate: number): Contour {
  const count = Math.floor((samples.length / rate) * PER_SECOND);
  const power = new Float64Array(count);
  for (let index = 0; index < count; index++) {
    const from = Math.round((index / PER_SECOND) * rate);
    const to = Math.round(((index + 1) / PER_SECOND) * rate);
    let sum = 0;
    for (let at = from; at < to; at++) sum += (samples[at] as number) ** 2;
    power[index] = sum / (to - from);
  }
  const sorted = [...power].sort((a, b) => a - b);
  return { power, floor: sorted[Math.floor(count / 10)] ?? 0 };
}

/**
 * Seconds by which `played` is later than `rendered` around an onset.
 *
 * @param at seconds of the onset in `rendered`
 * @param rough seconds that `played` is thought to be later
 * @param reach seconds that the answer may differ from `rough`
 * @param before, after seconds around the onset that are compared
 */
export function laterBy(
  rendered: Contour,
  played: Contour,
  at: number,
  rough: number,
  { reach = 0.03, before = 0.02, after = 0.03 } = {},
): number {
  const floor = Math.max(played.floor, rendered.floor, 1e-8);
  const log = ({ power }: Contour, index: number): number => Math.log((power[index] ?? 0) + floor);
  const from = Math.round((at - before) * PER_SECOND);
  const to = Math.round((at + after) * PER_SECOND);
  const steps = Math.round(reach * PER_SECOND);
  const centre = Math.round(rough * PER_SECOND);
  const misfit = (shift: number): number => {
    // A recording may be louder or quieter throughout: only the shape is compared.
    let mean = 0;
    for (let index = from; index < to; index++) mean += log(played, index + shift) - log(rendered, index);
    mean /= to - from;
    let sum = 0;
    for (let index = from; index < to; index++) {
      sum += (log(played, index + shift) - log(rendered, index) - mean) ** 2;
    }
    return sum;
  };
  const misfits = Array.from({ length: 2 * steps + 1 }, (_, index) => misfit(centre - steps + index));
  let best = 0;
  for (const [index, value] of misfits.entries()) if (value < (misfits[best] as number)) best = index;
  const left = misfits[best - 1];
  const right = misfits[best + 1];
  const here = misfits[best] as number;
  const bend = left === undefined || right === undefined ? 0 : left - 2 * here + right;
  const part = bend > 0 ? ((left as number) - (right as number)) / (2 * bend) : 0;
  return (centre - steps + best + part) / PER_SECOND;
}
