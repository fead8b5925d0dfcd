/** Which of the sounds that are meant are not in the recording: where it fits silence better than the sound. */
import { BANDS } from "./bands.ts";
import type { Meant } from "./expected.ts";
import type { Model } from "./model.ts";

/** Natural log of power beyond which a cell is no further apart. */
const APART = 3;
const capped = (apart: number): number => Math.min(APART, Math.abs(apart)) ** 2;
/** By how much a cell of a sound must stand over the surroundings to say anything. */
const OVER = 0.7;
/** Milliseconds at a sound's beginning that say little, since the course of time is only roughly right. */
const BEGINNING = 2;

/**
 * @param course frame of the recording for each frame of the rendering
 * @param empty log power of what is there without the hands, a band each
 */
export function leftOut(
  meant: readonly Meant[],
  expected: Model,
  heard: Model,
  course: Float64Array,
  empty: Float64Array,
): boolean[] {
  return meant.map(({ time, lasts }) => {
    const start = Math.min(Math.round(1000 * time), expected.frames - 1);
    let better = 0;
    for (let frame = start + BEGINNING; frame < Math.min(start + 1000 * lasts, expected.frames); frame++) {
      const other = Math.round(course[frame] as number);
      if (other < 0 || other >= heard.frames) continue;
      for (let band = 0; band < BANDS; band++) {
        const sound = expected.log[frame * BANDS + band]!;
        const none = empty[band]!;
        if (sound - none < OVER) continue;
        const is = heard.log[other * BANDS + band]!;
        better += capped(is - none) - capped(is - sound);
      }
    }
    return better < 0;
  });
}
