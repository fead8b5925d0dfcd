/**
 * Where each sound that is meant begins in the recording, finer than any detector's frame: near where the course of
 * time puts it, the rendering around the onset is laid over the recording and moved until they differ least. What lies
 * before and what lies after may each run somewhat faster or slower than it is meant, since hands do.
 */
import { BANDS } from "./bands.ts";
import type { Meant } from "./expected.ts";
import type { Model } from "./model.ts";
import { misfit } from "./warp.ts";

/** Milliseconds that an onset may lie from where the course of time puts it. */
const NEAR = 12;
/** What it costs to lie away from there, times milliseconds squared. */
const STRAYS = 0.05;
/** Milliseconds to either side of the onset that are laid over each other, at least and at most. */
const LEAST = 10;
const MOST_BEFORE = 40;
const MOST_AFTER = 90;
/** A side is long enough once so much stands over the surroundings: squared natural logs of power, summed. */
const ENOUGH = 60;
/** By how much the time of a side may run faster or slower, in steps, and what each step costs. */
const PACES = [-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3] as const;
const PACE_COSTS = 0.02;
/** A millisecond of what lies before counts no more than this: it may have been cut short, or left out. */
const WORST_BEFORE = 0.6;

export interface Located {
  /** Milliseconds in the recording, with parts. */
  readonly at: number;
  /**
   * How much better the sound fits there than silence, over its length, where it stands over the surroundings at all:
   * squared natural log of power. Below 0: silence fits better.
   */
  readonly sounds: number;
  /** The same of an onset against a sound that goes on evenly. */
  readonly begins: number;
}

/** How much a frame of the rendering stands over the surroundings. */
function standsOut(expected: Model, frame: number, empty: Float64Array): number {
  let sum = 0;
  for (let band = 0; band < BANDS; band++)
    sum += Math.min(3, expected.log[frame * BANDS + band]! - empty[band]!) ** 2;
  return sum / BANDS;
}

/**
 * @param course frame of the recording for each frame of the rendering
 * @param empty log power of what is there without the hands, a band each
 */
export function locate(
  meant: readonly Meant[],
  expected: Model,
  heard: Model,
  course: Float64Array,
  empty: Float64Array,
): Located[] {
  /** How many frames from the onset on, in one direction, tell enough. */
  const reach = (centre: number, way: 1 | -1, most: number): number => {
    let sum = 0;
    for (let by = 0; by < most; by++) {
      const frame = centre + way * by;
      if (frame < 0 || frame >= expected.frames) return Math.max(1, by);
      sum += standsOut(expected, frame, empty);
      if (sum > ENOUGH && by >= LEAST) return by;
    }
    return Math.max(1, most);
  };
  return meant.map(({ time, lasts }, index) => {
    const exact = time * 1000;
    const centre = Math.min(Math.round(exact), expected.frames - 1);
    const toNext = 1000 * ((meant[index + 1]?.time ?? Number.POSITIVE_INFINITY) - time) - 5;
    const fromLast = 1000 * (time - (meant[index - 1]?.time ?? Number.NEGATIVE_INFINITY)) - 5;
    const before = reach(centre, -1, Math.round(Math.min(MOST_BEFORE, Math.max(LEAST, fromLast))));
    const after = reach(centre, 1, Math.round(Math.min(MOST_AFTER, Math.max(LEAST, toNext))));
    const middle = Math.round(course[centre] as number);
    const side = (onset: number, way: 1 | -1, count: number): number => {
      let least = Number.POSITIVE_INFINITY;
      for (const pace of PACES) {
        let sum = Math.abs(pace) * 10 * PACE_COSTS * count;
        for (let by = way === 1 ? 0 : 1; by < count && sum < least; by++) {
          const cost = misfit(expected, centre + way * by, heard, onset + Math.round(way * by * (1 + pace)));
          sum += way === 1 ? cost : Math.min(WORST_BEFORE, cost);
        }
        least = Math.min(least, sum);
      }
      return least;
    };
    const costs = Float64Array.from({ length: 2 * NEAR + 1 }, (_, at) => {
      const onset = middle + at - NEAR;
      return side(onset, 1, after) + side(onset, -1, before) + STRAYS * (at - NEAR) ** 2;
    });
    let best = NEAR;
    for (const [at, cost] of costs.entries()) if (cost < (costs[best] as number)) best = at;
    const shift = middle + best - NEAR - centre;
    return {
      at: exact + shift + finer(costs, best),
      sounds: overSilence(expected, heard, course, centre, 1000 * lasts, empty),
      begins: overEvenness(heard, centre + shift) - (costs[best] as number) / (before + after),
    };
  });
}

/** The lowest point of a parabola through a valley and its neighbours, −½ to ½. */
function finer(costs: Float64Array, at: number): number {
  const left = costs[at - 1];
  const right = costs[at + 1];
  if (left === undefined || right === undefined) return 0;
  const bend = left - 2 * (costs[at] as number) + right;
  return bend > 0 ? Math.max(-0.5, Math.min(0.5, (left - right) / (2 * bend))) : 0;
}

const APART = 3;
const capped = (apart: number): number => Math.min(APART, Math.abs(apart)) ** 2;
/** Natural log of power by which a cell of a sound must stand over the surroundings to say anything. */
const OVER = 0.7;

function overSilence(
  expected: Model,
  heard: Model,
  course: Float64Array,
  centre: number,
  lasts: number,
  empty: Float64Array,
): number {
  let sum = 0;
  let cells = 0;
  for (let frame = centre + 2; frame < Math.min(centre + lasts, expected.frames); frame++) {
    const other = Math.round(course[frame] as number);
    if (other < 0 || other >= heard.frames) continue;
    for (let band = 0; band < BANDS; band++) {
      const meant = expected.log[frame * BANDS + band]!;
      const none = empty[band]!;
      if (meant - none < OVER) continue;
      const is = heard.log[other * BANDS + band]!;
      sum += capped(is - none) - capped(is - meant);
      cells++;
    }
  }
  return cells === 0 ? 0 : sum / cells;
}

/** How far the recording around a place is from being even: the variance of log power. */
function overEvenness(heard: Model, at: number): number {
  let total = 0;
  let cells = 0;
  for (let band = 0; band < BANDS; band++) {
    let sum = 0;
    let squares = 0;
    let count = 0;
    for (let frame = Math.max(0, at - 20); frame < Math.min(heard.frames, at + 15); frame++) {
      const is = heard.log[frame * BANDS + band] as number;
      sum += is;
      squares += is * is;
      count++;
    }
    if (count > 0) total += squares - (sum * sum) / count;
    cells += count;
  }
  return cells === 0 ? 0 : total / cells;
}
