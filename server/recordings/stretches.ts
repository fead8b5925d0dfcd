/** What it costs that a stretch of the rendering lies between two places of the recording. */
import { BANDS, type Bands } from "./bands.ts";
import { emptyModel, type Model, type Surroundings } from "./model.ts";
import { MOST, numberOf, pacedFrame } from "./paced.ts";
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
