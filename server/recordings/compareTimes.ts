/** Two lists of times compared by the published onset measure. */
import { spreadOf } from "../../schemas/spread.ts";
import { scoreOf, WINDOW } from "./score.ts";

export interface TimesCompared {
  readonly precision: number;
  readonly recall: number;
  /** Harmonic mean of the two; all three are 0 where either list is empty. */
  readonly f: number;
  readonly matched: number;
  /** Played less reference over the matched: below 0 is early. Null where nothing matched. */
  readonly meanErrorMs: number | null;
  /** Of the same, as `spreadOf` says. */
  readonly spreadMs: number | null;
}

/**
 * @param reference, played seconds, ascending
 * @param window seconds, half width, inclusive
 */
export function compareTimes(
  reference: readonly number[],
  played: readonly number[],
  window: number = WINDOW,
): TimesCompared {
  const { pairs, matched, precision, recall, f } = scoreOf(reference, played, window);
  if (matched === 0) return { precision, recall, f, matched, meanErrorMs: null, spreadMs: null };
  const errors = pairs.map(
    (pair) => 1000 * ((played[pair.played] as number) - (reference[pair.reference] as number)),
  );
  return {
    precision,
    recall,
    f,
    matched,
    meanErrorMs: errors.reduce((sum, error) => sum + error, 0) / matched,
    spreadMs: spreadOf(errors),
  };
}
