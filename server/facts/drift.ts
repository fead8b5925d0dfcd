/** How far a round of the record hand carries the record through the sample. */
import type { Pattern } from "../../schemas/routine.ts";
import { recordRound } from "../hands/record.ts";

/** Signed degrees a record cycle; null with a released stroke, whose travel depends on the tempo. */
export function driftDegrees(pattern: Pattern): number | null {
  const { moves, released } = recordRound(pattern.record);
  return released ? null : moves.reduce((sum, { travel }) => sum + travel, 0);
}
