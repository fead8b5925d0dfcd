/**
 * How the record moves: positions and speeds of one move, by frame. Speeds are times the record's own speed
 * (signed), positions are samples in the tables of the sample that it plays.
 */
import { CELL } from "./voice.ts";
import type { Tables } from "./tables.ts";

export const REST = 0;
export const EVEN = 1;
export const EASED = 2;
export const RELEASED = 3;

/** A move of the record, or a part of one in which its time goes evenly. */
export interface Move {
  /** Frames, not whole; the end is not included. */
  readonly start: number;
  readonly end: number;
  readonly kind: typeof REST | typeof EVEN | typeof EASED | typeof RELEASED;
  readonly tables: Tables | null;
  /** Samples a frame at speed 1. */
  readonly unit: number;
  /** Samples: where the whole move starts and how far it goes; of a released one, how far in a frame. */
  readonly from: number;
  readonly travel: number;
  /** Part of the whole move that is done at `start`, and that is done in a frame; of a released one, frames and 1. */
  readonly done: number;
  readonly pace: number;
  /** Released from rest: frames until the record has nearly caught up, and frames of the whole move. 0: at once. */
  readonly catchUp: number;
  readonly whole: number;
}

/** A hand that lets go: how long friction takes to bring the record to speed (common practice, no source). */
export const CATCH_UP_SECONDS = 0.03;

/**
 * Frames by which a record released from rest is behind the platter, t frames after. It starts at no speed, nears
 * the platter's, and makes good what it lost over the rest of the move, so that it ends where the platter is.
 */
function lag(move: Move, t: number): number {
  return (
    move.catchUp * (1 - Math.exp(-t / move.catchUp)) * (0.5 + 0.5 * Math.cos((Math.PI * t) / move.whole))
  );
}

function lagSlope(move: Move, t: number): number {
  const gone = Math.exp(-t / move.catchUp);
  const turn = (Math.PI * t) / move.whole;
  return (
    gone * (0.5 + 0.5 * Math.cos(turn)) -
    ((move.catchUp * (1 - gone) * Math.PI) / (2 * move.whole)) * Math.sin(turn)
  );
}

/** Writes positions of frames `from` to `to` (0 to 16) of the cell that starts at frame `start`. */
export function positions(move: Move, start: number, from: number, to: number, at: Float64Array): void {
  const done = move.done + move.pace * (start + from - move.start);
  if (move.kind === EASED) {
    // The cosine turns by the same angle each frame: two calls a cell instead of sixteen.
    let cos = Math.cos(Math.PI * done);
    let sin = Math.sin(Math.PI * done);
    const turn = Math.PI * move.pace;
    const stepCos = Math.cos(turn);
    const stepSin = Math.sin(turn);
    const half = move.travel / 2;
    const middle = move.from + half;
    for (let i = from; i < to; i++) {
      at[i] = middle - half * cos;
      const next = cos * stepCos - sin * stepSin;
      sin = sin * stepCos + cos * stepSin;
      cos = next;
    }
  } else {
    const step = move.travel * move.pace;
    const first = move.from + move.travel * done;
    for (let i = from; i < to; i++) at[i] = first + step * (i - from);
    if (move.catchUp > 0) {
      for (let i = from; i < to; i++) at[i] = at[i]! - move.travel * lag(move, done + i - from);
    }
  }
}

/** Speed at a frame, which may be the one after the last: times the record's own, signed. */
export function speedAt(move: Move, frame: number): number {
  if (move.kind === REST) return 0;
  const done = move.done + move.pace * (frame - move.start);
  let speed = move.travel * move.pace;
  if (move.kind === EASED) speed *= (Math.PI / 2) * Math.sin(Math.PI * done);
  else if (move.catchUp > 0) speed *= 1 - lagSlope(move, done);
  return speed / move.unit;
}

/** The first of the frames of a cell (0 to 16) that lies at or after `frame`. */
export const firstFrame = (frame: number, cell: number): number =>
  Math.max(0, Math.min(CELL, Math.ceil(frame - cell)));
