/** Where a repeating phrase stands against the bar, and when the two fall together again. */
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { fraction, fractionText } from "../../schemas/fraction.ts";
import { lcm } from "../time/fraction.ts";
import { modulo } from "./combined.ts";

/** The list of repeats is cut here; the numbers of bars and repeats are not. */
const MOST_REPEAT_STARTS = 1000;

export interface ComeRound {
  readonly bars: number;
  readonly repeats: number;
  /** Position in the bar of each repeat, fractions of a whole note. */
  readonly repeatStarts: readonly string[];
  readonly withBeatBars: number | null;
}

/**
 * @param start of the placement, units from its section's start, negative for a pickup
 * @param bar units of a bar of the section that owns the placement
 * @param combined units of the phrase's combined length
 * @param beat units of the section's beat, null without one
 */
export function comeRound(start: number, bar: number, combined: bigint, beat: number | null): ComeRound {
  const barUnits = BigInt(bar);
  const together = lcm(combined, barUnits);
  const repeats = together / combined;
  const listed = repeats < BigInt(MOST_REPEAT_STARTS) ? Number(repeats) : MOST_REPEAT_STARTS;
  const first = modulo(BigInt(start), barUnits);
  const ahead = combined % barUnits;
  return {
    bars: Number(together / barUnits),
    repeats: Number(repeats),
    repeatStarts: Array.from({ length: listed }, (_, repeat) =>
      fractionText(fraction((first + BigInt(repeat) * ahead) % barUnits, UNITS_PER_WHOLE)),
    ),
    withBeatBars: beat === null ? null : Number(lcm(together, BigInt(beat)) / barUnits),
  };
}
