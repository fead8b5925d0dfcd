/**
 * Where each sound that was heard begins, all of them together. Between two onsets that follow each other, what is
 * meant is laid over what lies between two places of the recording: once as a hand would play it, evenly faster or
 * slower from the one to the other, and once as it is, cut short or followed by silence. Whichever fits better is what
 * the pair of places costs, and of all chains of places the cheapest is taken: a segmental dynamic programme (Sakoe
 * 1979, "Two-level DP-matching", IEEE Trans. ASSP 27(6)). Each stretch of the recording is so explained once, and an
 * onset that is hard to hear by itself, such as a turn in near silence, is held by its neighbours.
 */
import { BANDS, type Bands } from "./bands.ts";
import { emptyModel, type Model, type Surroundings } from "./model.ts";
import { MOST, numberOf, pacedFrame } from "./paced.ts";
import { misfit } from "./warp.ts";

const P = {
  UNEVEN: 0.002,
  AS: 0.03,
  WORST: 4,
  FAR: 32,
  LONG: 420,
  AFTER: 200,
  BEFORE: 80,
  ...JSON.parse(process.env["P"] ?? "{}"),
};
/**
 * Milliseconds to either side of where an onset is thought to be that are tried, from one that is tried to the next, and
 * from one frame that is compared to the next: first roughly, then finely.
 */
const TRIED: readonly (readonly [reach: number, step: number, every: number])[] = P.TRIED ?? [
  [32, 2, 4],
  [4, 1, 1],
];
/** Longer distances are looked at near their ends alone: so many milliseconds after an onset, and before the next. */
const LONG = P.LONG;
const AFTER = P.AFTER;
const BEFORE = P.BEFORE;
/** A millisecond costs no more than this: what nobody meant may lie over it. */
const WORST = P.WORST;
/** What it costs that an onset is later or earlier than the one before, times milliseconds squared. */
const UNEVEN = P.UNEVEN;
/** What is played as it is, rather than evenly faster or slower, costs so much more a millisecond: it is rarer. */
const AS_IT_IS = P.AS;

/** An onset that was heard: exact milliseconds in the rendering, and roughly in the recording. */
export interface Rough {
  readonly meant: number;
  readonly heard: number;
}

/** The rendering as the room makes it, and the recording. */
export interface Scene {
  readonly rendering: Bands;
  readonly surroundings: Surroundings;
  readonly heard: Model;
}

/** @returns milliseconds in the recording, with parts, one for each */
export function place(onsets: readonly Rough[], scene: Scene): Float64Array {
  let near = onsets;
  for (const tried of TRIED) {
    const heard = chain(near, scene, ...tried);
    near = onsets.map(({ meant }, index) => ({ meant, heard: heard[index] as number }));
  }
  return Float64Array.from(near, ({ heard }) => heard);
}

function chain(
  onsets: readonly Rough[],
  scene: Scene,
  reach: number,
  step: number,
  every: number,
): Float64Array {
  const count = (2 * reach) / step + 1;
  const first = onsets.map((one) => Math.round(one.heard) - reach);
  const costs = costsIn(scene, every);
  const steps = onsets.slice(1).map((next, index) => {
    const here = onsets[index] as Rough;
    const length = next.meant - here.meant;
    const [a0, b0] = [first[index] as number, first[index + 1] as number];
    const between = costs(here.meant, length, a0, b0, 2 * reach);
    const cost = new Float64Array(count * count);
    for (let a = 0; a < count; a++)
      for (let b = 0; b < count; b++) {
        const [from, to] = [a0 + a * step, b0 + b * step];
        cost[a * count + b] = between(from, to) + UNEVEN * (to - from - length) ** 2;
      }
    return cost;
  });
  const at = Array.from({ length: count }, (_, index) => index * step);
  const last = onsets.length - 1;
  const ends = (index: number, before: number, after: number): Float64Array => {
    const one = onsets[index] as Rough;
    const from = first[index] as number;
    const cost = costs(one.meant - before, before + after, from - before, from + after, 2 * reach);
    return Float64Array.from(at, (by) => cost(from + by - before, from + by + after));
  };
  if (last < 0) return new Float64Array(0);
  return cheapest(steps, ends(0, BEFORE, 0), ends(last, 0, AFTER)).map(
    (by, index) => (first[index] as number) + by * step,
  );
}

/** Stretches of the rendering and of the recording that are compared, each pair of frames once at each pace. */
function costsIn({ rendering, surroundings, heard }: Scene, every: number) {
  const none: Model = { frames: 1, log: Float32Array.from(emptyModel(surroundings)) };
  const silent = new Float32Array(heard.frames).fill(Number.NaN);
  const silence = (frame: number): number => {
    if (frame < 0 || frame >= heard.frames) return WORST;
    let cost = silent[frame]!;
    if (Number.isNaN(cost)) silent[frame] = cost = Math.min(WORST, misfit(none, 0, heard, frame));
    return cost;
  };

  /** Costs of frames of the rendering, `rows` from `top` on, at frames of the recording, `width` from `left` on. */
  function block(top: number, rows: number, left: number, width: number, paces: readonly [number, number]) {
    const [slowest, fastest] = paces;
    const kinds = fastest - slowest + 1;
    const known = new Float32Array(kinds * rows * width).fill(Number.NaN);
    const paced: Model = { frames: kinds * rows, log: new Float32Array(kinds * rows * BANDS) };
    const written = new Uint8Array(kinds * rows);
    return (row: number, frame: number, pace: number): number => {
      const slot = (pace - slowest) * rows + row - top;
      const at = slot * width + frame - left;
      let cost = known[at]!;
      if (!Number.isNaN(cost)) return cost;
      if (row < 0 || row >= rendering.frames) cost = silence(frame);
      else {
        if (written[slot] === 0) {
          pacedFrame(rendering, surroundings, row, pace, paced, slot);
          written[slot] = 1;
        }
        cost = Math.min(WORST, misfit(paced, slot, heard, frame));
      }
      known[at] = cost;
      return cost;
    };
  }

  /**
   * What it costs that the stretch of `length` from `meant` on lies between two frames: each frame in between counted
   * once, but for the middle of a long stretch.
   *
   * @param a, b the first frames at which it may start and end; @param more how many frames later they may lie
   */
  return (meant: number, length: number, a: number, b: number, more: number) => {
    const limit = (pace: number): number => Math.max(-MOST, Math.min(MOST, numberOf(pace)));
    // As it is meant, 0, is always among them.
    const paces = [
      Math.min(0, limit(length / Math.max(1, b + more - a))),
      Math.max(0, limit(length / Math.max(1, b - a - more))),
    ] as const;
    const long = length > LONG;
    const start = Math.floor(meant + 0.5);
    const end = Math.floor(meant + length + 0.5);
    // A frame of the rendering may be asked for beyond the part of a stretch, by as much as the pace differs.
    const spare = 2 * more + 2;
    const whole = long ? null : block(start, end - start + 2, a, b + more - a + 1, paces);
    const head = whole ?? block(start, 2 * AFTER + spare, a, AFTER + more + 1, paces);
    const tail =
      whole ?? block(end - 2 * BEFORE - spare, 2 * BEFORE + 2 * spare, b - BEFORE, BEFORE + more + 1, paces);
    return (from: number, to: number): number => {
      const pace = length / (to - from);
      const number = to <= from ? MOST + 1 : numberOf(pace);
      if (Math.abs(number) > MOST) return Number.POSITIVE_INFINITY;
      let even = 0;
      let asItIs = 0;
      const span = (first: number, past: number, cell: typeof head): void => {
        for (let frame = first; frame < past; frame += every) {
          const by = frame - from;
          even += cell(Math.floor(meant + by * pace + 0.5), frame, number);
          asItIs += AS_IT_IS + (by < length ? cell(Math.floor(meant + by + 0.5), frame, 0) : silence(frame));
        }
      };
      if (long) {
        span(from, from + AFTER, head);
        span(to - BEFORE, to, tail);
      } else span(from, to, head);
      return every * Math.min(even, asItIs);
    };
  };
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
