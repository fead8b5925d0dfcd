/**
 * The course of the rendering's time in the recording's: dynamic time warping (Sakoe & Chiba 1978, "Dynamic programming
 * algorithm optimization for spoken word recognition", IEEE Trans. ASSP 26(1)), a millisecond a step, within a band.
 */
import { BANDS } from "./bands.ts";
import type { Model } from "./model.ts";

/** Milliseconds that the recording may run before or behind, the lag not counted: half the band's width. */
export const REACH = 70;
const SHIFTS = 2 * REACH + 1;
/** Natural log of power: more than that apart is hardly worse. About 9 dB. */
const APART = 2;
/** What it costs that one of the two stands still for a millisecond. */
const STANDS = 0.12;

/** Mean misfit a band of a frame of one with a frame of the other; squares near, straight lines far (Huber 1964). */
export function misfit(expected: Model, frame: number, heard: Model, other: number): number {
  if (other < 0 || other >= heard.frames) return APART;
  const a = frame * BANDS;
  const b = other * BANDS;
  let sum = 0;
  for (let band = 0; band < BANDS; band++) {
    const apart = Math.abs(expected.log[a + band]! - heard.log[b + band]!);
    sum += apart < APART ? apart * apart : APART * (2 * apart - APART);
  }
  return sum / BANDS;
}

/**
 * For each frame of the rendering the frame of the recording that is it (a part of one where it stands still).
 *
 * @param lag frames that the recording is later as a whole
 */
export function warp(expected: Model, heard: Model, lag: number): Float64Array {
  const { frames } = expected;
  // 0: both go on; 1: the recording stands still; 2: the rendering stands still.
  const steps = new Uint8Array(frames * SHIFTS);
  let before = new Float64Array(SHIFTS);
  let now = new Float64Array(SHIFTS);
  for (let frame = 0; frame < frames; frame++) {
    const row = frame * SHIFTS;
    const first = frame + lag - REACH;
    for (let shift = 0; shift < SHIFTS; shift++) {
      const cost = misfit(expected, frame, heard, first + shift);
      let best = before[shift]! + cost;
      let step = 0;
      const waited = shift + 1 < SHIFTS ? before[shift + 1]! + cost + STANDS : Number.POSITIVE_INFINITY;
      if (waited < best) {
        best = waited;
        step = 1;
      }
      const skipped = shift > 0 ? now[shift - 1]! + 0.5 * cost + STANDS : Number.POSITIVE_INFINITY;
      if (skipped < best) {
        best = skipped;
        step = 2;
      }
      now[shift] = best;
      steps[row + shift] = step;
    }
    [before, now] = [now, before];
  }
  const course = new Float64Array(frames);
  let shift = 0;
  for (let at = 1; at < SHIFTS; at++) if (before[at]! < before[shift]!) shift = at;
  for (let frame = frames - 1; frame >= 0; frame--) {
    let last = shift;
    while (steps[frame * SHIFTS + shift] === 2) shift--;
    course[frame] = frame + lag - REACH + (shift + last) / 2;
    if (steps[frame * SHIFTS + shift] === 1) shift++;
  }
  return course;
}
