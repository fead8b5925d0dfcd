/** What it costs that a stretch of the rendering lies between two places of the recording. */
import { BANDS, type Bands } from "./bands.ts";
import { emptyModel, type Model, type Surroundings } from "./model.ts";
import { MOST, numberOf, pacedFrame, paceOf } from "./paced.ts";
import { misfit } from "./warp.ts";

/** Longer distances are looked at near their ends alone: so many milliseconds after an onset, and before the next. */
const LONG = 420;
export const AFTER = 200;
export const BEFORE = 80;
/** A millisecond costs no more than this: what nobody meant may lie over it. */
const WORST = 4;
/** What is played as it is, rather than evenly faster or slower, costs so much more a millisecond: it is rarer. */
const AS_IT_IS = 0.03;

/** The rendering as the room makes it, and the recording. */
export interface Scene {
  readonly rendering: Bands;
  readonly surroundings: Surroundings;
  readonly heard: Model;
}

/** Stretches of the rendering and of the recording that are compared, each pair of frames once at each pace. */
export function costsIn({ rendering, surroundings, heard }: Scene, every: number) {
  /** The first frame from one on that is compared. */
  const counted = (frame: number): number => Math.ceil(frame / every) * every;
  const none: Model = { frames: 1, log: Float32Array.from(emptyModel(surroundings)) };
  const silent = new Float32Array(heard.frames).fill(Number.NaN);
  const silence = (frame: number): number => {
    if (frame < 0 || frame >= heard.frames) return WORST;
    let cost = silent[frame]!;
    if (Number.isNaN(cost)) silent[frame] = cost = Math.min(WORST, misfit(none, 0, heard, frame));
    return cost;
  };

  /** Costs of frames of the rendering, from `top` to `bottom`, at frames of the recording, from `left` to `right`. */
  function block(
    top: number,
    bottom: number,
    left: number,
    right: number,
    paces: readonly [number, number],
  ): (row: number, frame: number, pace: number) => number {
    const rows = bottom - top + 1;
    const width = right - left + 1;
    const [slowest, fastest] = paces;
    const kinds = fastest - slowest + 1;
    const known = new Float32Array(kinds * rows * width).fill(Number.NaN);
    const paced: Model = { frames: kinds * rows, log: new Float32Array(kinds * rows * BANDS) };
    const written = new Uint8Array(kinds * rows);
    return (row, frame, pace) => {
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

  /** What lies before the first onset or after the last, as it is meant; nothing outside the recording costs anything. */
  function outside(meant: number, left: number, right: number) {
    const reach = right - left;
    const cell = block(Math.floor(meant) - reach, Math.ceil(meant) + reach + 1, left, right, [0, 0]);
    return (from: number, past: number, onset: number): number => {
      let cost = 0;
      for (let frame = counted(Math.max(0, from)); frame < Math.min(past, heard.frames); frame += every)
        cost += cell(Math.floor(meant + frame - onset + 0.5), frame, 0);
      return every * cost;
    };
  }

  /**
   * What it costs that the stretch of `length` from `meant` on lies between two frames. Whichever two they are, the same
   * frames of the recording are counted, each once: those before the stretch belong to the one before it.
   *
   * @param a, b the first frames at which it may start and end; @param more how many frames later they may lie
   */
  function between(meant: number, length: number, a: number, b: number, more: number) {
    const limit = (pace: number): number => Math.max(-MOST, Math.min(MOST, numberOf(pace)));
    // As it is meant, 0, is always among them.
    const paces = [
      Math.min(0, limit(length / Math.max(1, b + more - a))),
      Math.max(0, limit(length / Math.max(1, b - a - more))),
    ] as const;
    const start = Math.floor(meant + 0.5);
    const end = Math.floor(meant + length + 0.5);
    // The middle of a long stretch says nothing of where its ends are.
    const long = length > LONG && b - a > LONG;
    const [headEnd, tailStart] = long ? [a + more + AFTER, b - BEFORE] : [b + more, b + more];
    const fastest = paceOf(paces[1] + 1);
    const headRows = long ? Math.ceil(fastest * (headEnd - a)) : end + 1 - start;
    const head = block(start, start + headRows, a, headEnd, paces);
    const tailRows = Math.max(
      Math.ceil(fastest * (b + more - tailStart)),
      end + 1 - start - (tailStart - a - more),
    );
    const tail = long ? block(end + 1 - tailRows, end + 1, tailStart, b + more, paces) : head;
    return (from: number, to: number): number => {
      const pace = length / (to - from);
      const number = to <= from ? MOST + 1 : numberOf(pace);
      if (Math.abs(number) > MOST) return Number.POSITIVE_INFINITY;
      let even = 0;
      let asItIs = 0;
      const span = (first: number, past: number, cell: typeof head): void => {
        for (let frame = counted(first); frame < past; frame += every) {
          const by = frame - from;
          even += cell(Math.floor(meant + by * pace + 0.5), frame, number);
          asItIs += AS_IT_IS + (by < length ? cell(Math.floor(meant + by + 0.5), frame, 0) : silence(frame));
        }
      };
      span(from, Math.min(to, headEnd), head);
      if (long) span(tailStart, to, tail);
      return every * Math.min(even, asItIs);
    };
  }

  return { between, outside };
}
