/** One combined length of a phrase, move by move, for what has to be looked at in order. */
import type { Pattern } from "../../schemas/routine.ts";
import type { CycleMove } from "../hands/record.ts";
import { combinedUnits } from "../routine/layout.ts";
import { openBetween, phraseOf } from "./phrase.ts";
import { Memory } from "../../schemas/memory.ts";

/** Longer phrases are not looked into. */
const MOST_MOVES = 512;

export interface UnrolledMove {
  /** Units from the pattern's start. */
  readonly start: number;
  readonly end: number;
  readonly direction: CycleMove["direction"];
  readonly shape: CycleMove["shape"];
  /** Signed degrees; 0 for a hold and a released stroke. */
  readonly travel: number;
  /** Openings that meet the move. */
  readonly openings: number;
  readonly opensOpen: boolean;
  readonly endsOpen: boolean;
}

const known = new Memory<Pattern, readonly UnrolledMove[] | null>();

/** Null where there are more than MOST_MOVES. */
export function unrolled(pattern: Pattern): readonly UnrolledMove[] | null {
  let moves = known.get(pattern);
  if (moves === undefined) {
    moves = unroll(pattern);
    known.set(pattern, moves);
  }
  return moves;
}

function unroll(pattern: Pattern): UnrolledMove[] | null {
  const { record, fader } = phraseOf(pattern);
  const combined = combinedUnits(pattern);
  const rounds = combined / BigInt(record.length);
  if (rounds * BigInt(record.moves.length) > BigInt(MOST_MOVES)) return null;
  // A fader of far shorter rounds than the record's would still make it long.
  if ((combined / BigInt(fader.length)) * BigInt(Math.max(1, fader.openings.length)) > BigInt(8 * MOST_MOVES))
    return null;
  const moves: UnrolledMove[] = [];
  for (let turn = 0; turn < Number(combined); turn += record.length) {
    for (const { direction, shape, travel, ...move } of record.moves) {
      const [start, end] = [turn + move.start, turn + move.end];
      const met = [...openBetween(fader, start, end)];
      moves.push({
        start,
        end,
        direction,
        shape,
        travel,
        openings: met.length,
        opensOpen: (met[0]?.start ?? end) <= start,
        endsOpen: (met[met.length - 1]?.end ?? start) >= end,
      });
    }
  }
  return moves;
}

/** Whether the fader is open all through a move. */
export const isOpenThroughout = ({ openings, opensOpen, endsOpen }: UnrolledMove): boolean =>
  openings === 1 && opensOpen && endsOpen;
