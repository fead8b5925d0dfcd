/**
 * Where each sound that was heard begins, all of them together. Between two onsets that follow each other, what is
 * meant is laid over what lies between two places of the recording: once as a hand would play it, evenly faster or
 * slower from the one to the other, and once as it is, cut short or followed by silence. Whichever fits better is what
 * the pair of places costs, and of all chains of places the cheapest is taken: a segmental dynamic programme (Sakoe
 * 1979, "Two-level DP-matching", IEEE Trans. ASSP 27(6)). Each stretch of the recording is so explained once, and an
 * onset that is hard to hear by itself, such as a turn in near silence, is held by its neighbours.
 */
import { type Progress, shareOf } from "./progress.ts";
import { AFTER, BEFORE, costsIn, type Scene } from "./stretches.ts";

/**
 * Milliseconds to either side of where an onset is thought to be that are tried, from one that is tried to the next, and
 * from one frame that is compared to the next: first roughly, then finely. The valley of a low voice is a millisecond
 * wide and comes again with each of its periods, so that the rough look may take the next one: the fine look reaches
 * over it.
 */
const TRIED: readonly (readonly [reach: number, step: number, every: number])[] = [
  [32, 2, 4],
  [10, 1, 1],
];
/** What it costs that an onset is later or earlier than the one before, times milliseconds squared. */
const UNEVEN = 0.002;
/** An onset that was heard: exact milliseconds in the rendering, and roughly in the recording. */
export interface Rough {
  readonly meant: number;
  readonly heard: number;
}

/** @returns milliseconds in the recording, with parts, one for each */
export function place(onsets: readonly Rough[], scene: Scene, progress: Progress): Float64Array {
  let near = onsets;
  for (const [index, tried] of TRIED.entries()) {
    const share = shareOf(progress, index / TRIED.length, (index + 1) / TRIED.length);
    const heard = chain(near, scene, tried, share);
    near = onsets.map(({ meant }, index) => ({ meant, heard: heard[index] as number }));
  }
  return Float64Array.from(near, ({ heard }) => heard);
}

function chain(
  onsets: readonly Rough[],
  scene: Scene,
  [reach, step, every]: (typeof TRIED)[number],
  progress: Progress,
): Float64Array {
  const count = (2 * reach) / step + 1;
  const first = onsets.map((one) => Math.round(one.heard) - reach);
  const costs = costsIn(scene, every);
  const steps = onsets.slice(1).map((next, index) => {
    progress(index / onsets.length);
    const here = onsets[index] as Rough;
    const length = next.meant - here.meant;
    const [a0, b0] = [first[index] as number, first[index + 1] as number];
    const between = costs.between(here.meant, length, a0, b0, 2 * reach);
    const cost = new Float64Array(count * count);
    for (let a = 0; a < count; a++)
      for (let b = 0; b < count; b++) {
        const [from, to] = [a0 + a * step, b0 + b * step];
        cost[a * count + b] = between(from, to) + UNEVEN * (to - from - length) ** 2;
      }
    return cost;
  });
  const last = onsets.length - 1;
  if (last < 0) return new Float64Array(0);
  const tried = (index: number): Float64Array =>
    Float64Array.from({ length: count }, (_, by) => (first[index] as number) + by * step);
  const [opens, closes] = [(first[0] as number) - BEFORE, (first[last] as number) + 2 * reach + AFTER];
  const before = costs.outside((onsets[0] as Rough).meant, opens, (first[0] as number) + 2 * reach);
  const after = costs.outside((onsets[last] as Rough).meant, first[last] as number, closes);
  return cheapest(
    steps,
    tried(0).map((onset) => before(opens, onset, onset)),
    tried(last).map((onset) => after(onset, closes, onset)),
  ).map((by, index) => (first[index] as number) + by * step);
}

/** The place of each onset on the cheapest chain, in steps, between two by a parabola through its neighbours' costs. */
function cheapest(steps: readonly Float64Array[], start: Float64Array, end: Float64Array): Float64Array {
  const count = start.length;
  const forward = [start];
  for (const [index, cost] of steps.entries()) {
    const before = forward[index] as Float64Array;
    const now = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
    for (let a = 0; a < count; a++)
      for (let b = 0; b < count; b++) now[b] = Math.min(now[b]!, before[a]! + cost[a * count + b]!);
    forward.push(now);
  }
  const backward = [end];
  for (let index = steps.length - 1; index >= 0; index--) {
    const cost = steps[index] as Float64Array;
    const after = backward.at(-1) as Float64Array;
    const now = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
    for (let a = 0; a < count; a++)
      for (let b = 0; b < count; b++) now[a] = Math.min(now[a]!, after[b]! + cost[a * count + b]!);
    backward.push(now);
  }
  backward.reverse();
  return Float64Array.from(forward, (before, index) => {
    const after = backward[index] as Float64Array;
    const through = before.map((cost, at) => cost + after[at]!);
    let best = 0;
    for (let at = 1; at < count; at++) if (through[at]! < through[best]!) best = at;
    return best + finer(through, best);
  });
}

/** The lowest point of a parabola through a valley and its neighbours, −½ to ½. */
function finer(costs: Float64Array, at: number): number {
  const left = costs[at - 1];
  const right = costs[at + 1];
  if (left === undefined || right === undefined) return 0;
  const bend = left - 2 * (costs[at] as number) + right;
  return bend > 0 && Number.isFinite(bend) ? Math.max(-0.5, Math.min(0.5, (left - right) / (2 * bend))) : 0;
}
