/** How far a round of the record hand carries the record through the sample. */
import type { Pattern } from "../../schemas/routine.ts";
import { recordRound } from "../hands/record.ts";

const ROUNDING = 1e-12;

/** Signed degrees a record cycle; null with a released stroke, whose travel depends on the tempo. */
export function driftDegrees(pattern: Pattern): number | null {
  const { moves, released } = recordRound(pattern.record);
  if (released) return null;
  const [drift, turned] = moves.reduce(
    ([sum, all], { travel }) => [sum + travel, all + Math.abs(travel)],
    [0, 0],
  );
  // What is left by the rounding of a sum that closes is no drift.
  return Math.abs(drift) < ROUNDING * turned ? 0 : drift;
}
