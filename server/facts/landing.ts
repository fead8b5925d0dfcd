/** What is left of a placement after its last whole combined cycle. */
import type { Pattern } from "../../schemas/routine.ts";
import { combinedUnits } from "../routine/layout.ts";
import { fractionText } from "../../schemas/fraction.ts";
import { inRecordSteps } from "./combined.ts";

export interface Landed {
  /** The record hand's steps left over, a fraction as text; "0" where the phrase lands. */
  readonly steps: string;
  /** Whole combined cycles before that. */
  readonly repeats: number;
}

/** @param duration of the placement, units */
export function landing(pattern: Pattern, duration: number): Landed {
  const combined = combinedUnits(pattern);
  const whole = BigInt(duration);
  return {
    steps: fractionText(inRecordSteps(whole % combined, pattern)),
    repeats: Number(whole / combined),
  };
}
