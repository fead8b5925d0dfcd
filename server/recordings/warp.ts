/**
 * The course of the rendering's time in the recording's: dynamic time warping (Sakoe & Chiba 1978, "Dynamic programming
 * algorithm optimization for spoken word recognition", IEEE Trans. ASSP 26(1)), two milliseconds a step, within a band.
 */
import { BANDS } from "./bands.ts";
import type { Model } from "./model.ts";

/** Milliseconds that the recording may run before or behind, the lag not counted: half the band's width. */
const REACH = 70;
/** Misfit of what lies outside the recording. */
const APART = 2;
/** What it costs that one of the two stands still for a step. */
const STANDS = 0.12;

/** Frames that are gone on by at a time. */
const STEP = 2;
const SHIFTS = (2 * REACH) / STEP + 1;

/**
 * Mean misfit a band of a frame of one with a frame of the other: squares near, straight lines further
 * than 9 dB apart (Huber 1964).
 */
export function misfit(expected: Model, frame: number, heard: Model, other: number): number {
  if (other < 0 || other >= heard.frames) return APART;
  const bands = BANDS;
  const { log: left } = expected;
  const { log: right } = heard;
  const a = frame * bands;
  const b = other * bands;
  let sum = 0;
  for (let band = 0; band < bands; band++) {
    const apart = Math.abs(left[a + band]! - right[b + band]!);
    sum += apart < 2 ? apart * apart : 4 * apart - 4;
  }
  return sum / bands;
}

/**
 * For each frame of the rendering the frame of the recording that is it (a part of one where it stands still).
 *
 * @param lag frames that the recording is later as a whole
 */
export function warp(expected: Model, heard: Model, lag: number): Float64Array {
  const count = Math.ceil(expected.frames / STEP);
  // 0: both go on; 1: the recording stands still; 2: the rendering stands still.
  const steps = new Uint8Array(count * SHIFTS);
  let before = new Float64Array(SHIFTS);
  let now = new Float64Array(SHIFTS);
  for (let at = 0; at < count; at++) {
    const row = at * SHIFTS;
    const first = at * STEP + lag - REACH;
    for (let shift = 0; shift < SHIFTS; shift++) {
      const cost = misfit(expected, at * STEP, heard, first + shift * STEP);
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
  const coarse = new Float64Array(count + 1);
  let shift = 0;
  for (let at = 1; at < SHIFTS; at++) if (before[at]! < before[shift]!) shift = at;
  for (let at = count - 1; at >= 0; at--) {
    const last = shift;
    while (steps[at * SHIFTS + shift] === 2) shift--;
    coarse[at] = at * STEP + lag - REACH + (STEP * (shift + last)) / 2;
    if (steps[at * SHIFTS + shift] === 1) shift++;
  }
  coarse[count] = coarse[count - 1]! + STEP;
  return Float64Array.from({ length: expected.frames }, (_, frame) => {
    const at = Math.floor(frame / STEP);
    return coarse[at]! + ((coarse[at + 1]! - coarse[at]!) * (frame % STEP)) / STEP;
  });
}
