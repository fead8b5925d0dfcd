/**
 * How the record moves: position and speed of one move at a frame. Speeds are samples a frame, positions samples in
 * the tables of the sample that it plays.
 */
import type { Tables } from "./tables.ts";

export const REST = 0;
export const EVEN = 1;
export const EASED = 2;
export const RELEASED = 3;

/** A move of the record, or a part of one in which its musical time is one cubic of the frames. */
export interface Move {
  /** Frames, not whole; the end is not included. */
  readonly start: number;
  readonly end: number;
  readonly kind: typeof REST | typeof EVEN | typeof EASED | typeof RELEASED;
  readonly tables: Tables | null;
  /** Samples a frame at the record's own speed. */
  readonly unit: number;
  /** Samples: where the whole move starts and how far it goes; of a released one, how far in a frame. */
  readonly from: number;
  readonly travel: number;
  /**
   * Part of the whole move that is done t frames after `start`: time[0] + time[1]·t + time[2]·t² + time[3]·t³. Of a
   * released move, the frames since it was let go.
   */
  readonly time: Float64Array;
  /** Released from rest: frames until the record has nearly caught up with the platter's speed. 0: at once. */
  readonly catchUp: number;
  /** Frames over which it makes good what it lost meanwhile; Infinity where it stays that far behind. */
  readonly madeGood: number;
}

/**
 * All moves are made here, so that they have one shape in memory: read in a loop, a number of an object that may have
 * several shapes would be allocated. Where nothing else is said, the record stands still, and no part of it is late.
 */
export const newMove = (
  { start, end, kind, tables, unit, from }: Pick<Move, "start" | "end" | "kind" | "tables" | "unit" | "from">,
  travel = 0,
  time: readonly number[] = [0, 0, 0, 0],
  { catchUp, madeGood }: Pick<Move, "catchUp" | "madeGood"> = { catchUp: 0, madeGood: 1 },
): Move => ({
  start,
  end,
  kind,
  tables,
  unit,
  from,
  travel,
  time: Float64Array.from(time),
  catchUp,
  madeGood,
});

/** A hand that lets go: how long friction takes to bring the record to speed (common practice, no source). */
export const CATCH_UP_SECONDS = 0.025;

/**
 * Where the record stands and how fast it goes at a frame, which may be the move's end. The frame is taken from
 * out[0], and the position written there, the speed to out[1]: a double handed to a call would be allocated.
 */
export function motionAt(move: Move, out: Float64Array): void {
  const t = out[0]! - move.start;
  const { time } = move;
  const done = time[0]! + t * (time[1]! + t * (time[2]! + t * time[3]!));
  const pace = time[1]! + t * (2 * time[2]! + t * 3 * time[3]!);
  if (move.kind === EASED) {
    out[0] = move.from + move.travel * (0.5 - 0.5 * Math.cos(Math.PI * done));
    out[1] = move.travel * pace * (Math.PI / 2) * Math.sin(Math.PI * done);
  } else if (move.catchUp > 0) {
    // Released from rest it starts at no speed, and is behind the platter by `lag` frames.
    const { catchUp, madeGood } = move;
    const gone = Math.exp(-done / catchUp);
    const turn = (Math.PI * done) / madeGood;
    const left = 0.5 + 0.5 * Math.cos(turn);
    const lag = catchUp * (1 - gone) * left;
    const slope = gone * left - ((catchUp * (1 - gone) * Math.PI) / (2 * madeGood)) * Math.sin(turn);
    out[0] = move.from + move.travel * (done - lag);
    out[1] = move.travel * (1 - slope);
  } else {
    out[0] = move.from + move.travel * done;
    out[1] = move.travel * pace;
  }
}
