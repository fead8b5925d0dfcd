/**
 * Onsets of a recording that nothing meant explains: what the detector finds away from every sound that was placed,
 * where the recording rises clearly, and clearly more than the rendering does at that place of its course.
 */
import { DEFAULT_LEVELS } from "../sound/mix.ts";
import { RATE } from "../sound/rate.ts";
import { BANDS } from "./bands.ts";
import type { Listened } from "./listen.ts";
import type { Model } from "./model.ts";
import { onsetsIn } from "./onsets.ts";

/** Seconds around a placed onset in which nothing else is looked for. */
const TAKEN = 0.04;
/** Natural log of power, mean of all bands: the least rise, and the least that it stands over the surroundings. */
const RISE = 0.7;
const OVER = 0.7;
/** Frames before and after a place that are compared, and between the two. */
const SIDE = 10;
const BETWEEN = 4;

/** By how much the bands rise at a frame. */
function rise({ log, frames }: Model, at: number): number {
  let sum = 0;
  for (let band = 0; band < BANDS; band++) {
    let before = 0;
    let after = 0;
    for (let by = 0; by < SIDE; by++) {
      before += log[Math.max(0, at - BETWEEN - by) * BANDS + band] as number;
      after += log[Math.min(frames - 1, at + BETWEEN + by) * BANDS + band] as number;
    }
    sum += Math.max(0, after - before) / SIDE;
  }
  return sum / BANDS;
}

/** @param placed seconds of the onsets that were placed, ascending @returns seconds, ascending */
export function extrasIn(listened: Listened, placed: readonly number[]): number[] {
  const { samples, loudness, heard, expected, course, empty } = listened;
  // The detector knows sound as loud as the record's voice is rendered.
  const scale = 1 / (DEFAULT_LEVELS.scratch * Math.sqrt(loudness));
  const found = onsetsIn(
    samples.map((value) => value * scale),
    RATE,
  );
  const near = (time: number): boolean => placed.some((other) => Math.abs(other - time) < TAKEN);
  return found.filter((time) => {
    if (near(time)) return false;
    const frame = Math.min(heard.frames - 1, Math.round(time * 1000));
    let over = 0;
    const after = Math.min(heard.frames - 1, frame + BETWEEN + SIDE / 2);
    for (let band = 0; band < BANDS; band++)
      over += (heard.log[after * BANDS + band] as number) - (empty[band] as number);
    if (over / BANDS < OVER) return false;
    const seen = rise(heard, frame);
    if (seen < RISE) return false;
    const meant = frameMeant(course, frame);
    let explained = 0;
    for (let by = -15; by <= 15; by += 3) {
      const there = Math.min(expected.frames - 1, Math.max(0, meant + by));
      explained = Math.max(explained, rise(expected, there));
    }
    return seen > 1.5 * explained + 0.3;
  });
}

/** The rendering's frame that stands at a frame of the recording: the course only ever goes on. */
function frameMeant(course: Float64Array, frame: number): number {
  let low = 0;
  let high = course.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((course[middle] as number) < frame) low = middle + 1;
    else high = middle;
  }
  return low;
}
