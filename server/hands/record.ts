/** The record hand: a cycle of strokes laid out in units. */
import { DEFAULT_TRAVEL, type RecordCycle, type Shape, type Stroke } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { fraction, multiply } from "../../schemas/fraction.ts";
import { parseFraction, unitsOf } from "../time/fraction.ts";
import { Memory } from "../../schemas/memory.ts";

/** One move of a cycle: a stroke, or one part of a split stroke. */
export interface CycleMove {
  /** Units from the cycle's start; the end is not included. */
  readonly start: Units;
  readonly end: Units;
  readonly direction: "forward" | "back" | "hold";
  readonly shape: Shape;
  /** Signed degrees; 0 for a hold, and for a released stroke, whose travel depends on the time it takes. */
  readonly travel: number;
  /** Index of its stroke in the cycle, and how many moves that is split into. */
  readonly stroke: number;
  readonly times: number;
}

export interface RecordRound {
  readonly length: Units;
  readonly step: Units;
  readonly moves: readonly CycleMove[];
  /** Index in `moves` of the first move of each stroke. */
  readonly firstMoves: readonly number[];
  /** Whether a stroke is released, so that travel depends on the tempo. */
  readonly released: boolean;
}

export interface StrokeLengths {
  /** Units, or null where finer than the clock. */
  readonly length: Units | null;
  /** Of one of its equal moves. */
  readonly split: Units | null;
}

/** How long a stroke and each of its moves are; `step` is the cycle's, as text. */
export function strokeLengths(step: string, stroke: Stroke): StrokeLengths {
  const length = multiply(parseFraction(step), parseFraction(stroke.length ?? 1));
  return { length: unitsOf(length), split: unitsOf(multiply(length, fraction(1, stroke.times ?? 1))) };
}

/** The signed travel of a move in a direction. */
function signedTravel(direction: CycleMove["direction"], stroke: Stroke): number {
  if (direction === "hold" || stroke.shape === "released") return 0;
  const travel = stroke.travel ?? DEFAULT_TRAVEL;
  return direction === "forward" ? travel : -travel;
}

function layOut(cycle: RecordCycle): RecordRound {
  const moves: CycleMove[] = [];
  const firstMoves: number[] = [];
  let at = 0;
  for (const [index, stroke] of cycle.strokes.entries()) {
    const { split } = strokeLengths(cycle.step, stroke);
    if (split === null) throw new Error("a stroke finer than the clock was not refused");
    firstMoves.push(moves.length);
    const times = stroke.times ?? 1;
    for (let turn = 0; turn < times; turn++) {
      const direction = turn % 2 === 0 ? stroke.move : stroke.move === "forward" ? "back" : "forward";
      moves.push({
        start: at as Units,
        end: (at + split) as Units,
        direction,
        shape: stroke.move === "hold" ? "even" : (stroke.shape ?? "eased"),
        travel: signedTravel(direction, stroke),
        stroke: index,
        times,
      });
      at += split;
    }
  }
  return {
    length: at as Units,
    step: unitsOf(parseFraction(cycle.step)) as Units,
    moves,
    firstMoves,
    released: cycle.strokes.some((stroke) => stroke.shape === "released"),
  };
}

const known = new Memory<RecordCycle, RecordRound>();

/** The cycle in units, remembered by its identity. @throws where the cycle was not checked. */
export function recordRound(cycle: RecordCycle): RecordRound {
  let round = known.get(cycle);
  if (round === undefined) {
    round = layOut(cycle);
    known.set(cycle, round);
  }
  return round;
}

/**
 * The part of its travel that a move has done after the part u (0 to 1) of its musical length: eased
 * (1 − cos πu)/2, otherwise u. A released stroke follows seconds instead; see compile.
 */
export const doneAfter = (shape: Shape, u: number): number =>
  shape === "eased" ? (1 - Math.cos(Math.PI * u)) / 2 : u;
