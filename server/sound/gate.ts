/** The fader as a gain by frame: fast, but not a click. */
import { RATE } from "./rate.ts";

/** Frames from shut to open: 1 ms, begun exactly where the fader opens, so that the onset is heard there. */
export const OPENING_FRAMES = 0.001 * RATE;
/** Frames from open to shut: 1.5 ms, begun where it closes. */
const CLOSING_FRAMES = 0.0015 * RATE;

/** Open stretches in order, as pairs of frames (not whole): where it opens, where it closes. */
export type Openings = Float64Array;

/** Index of the first opening that is not over, closing included, at a frame. */
export function openingAt(openings: Openings, frame: number): number {
  let low = 0;
  let high = openings.length / 2;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (openings[2 * middle + 1]! + CLOSING_FRAMES <= frame) low = middle + 1;
    else high = middle;
  }
  return low;
}

const ease = (part: number): number => (part >= 1 ? 1 : 0.5 - 0.5 * Math.cos(Math.PI * part));

/**
 * Writes the gain (0 to 1) of `count` frames from `frame` on into `out` at `at`. `first` is what openingAt gave for
 * this frame or one before.
 */
export function gate(
  openings: Openings,
  first: number,
  frame: number,
  count: number,
  out: Float32Array,
  at: number,
): void {
  const end = frame + count;
  let i = first;
  while (2 * i < openings.length && openings[2 * i + 1]! + CLOSING_FRAMES <= frame) i++;
  const opens = openings[2 * i];
  if (opens === undefined || opens >= end) {
    out.fill(0, at, at + count);
    return;
  }
  if (opens + OPENING_FRAMES <= frame && openings[2 * i + 1]! >= end) {
    out.fill(1, at, at + count);
    return;
  }
  for (let k = 0; k < count; k++) {
    // Where a closure is shorter than the fades, the one that is further open counts.
    let gain = 0;
    for (let j = i; 2 * j < openings.length && openings[2 * j]! < frame + k; j++) {
      const open = ease((frame + k - openings[2 * j]!) / OPENING_FRAMES);
      const shut = frame + k - openings[2 * j + 1]!;
      const part = shut <= 0 ? open : open * (1 - ease(shut / CLOSING_FRAMES));
      if (part > gain) gain = part;
    }
    out[at + k] = gain;
  }
}
