/** Two lists of times compared by the published onset measure. */
import { scoreOf, WINDOW } from "./score.ts";

export interface TimesCompared {
  readonly precision: number;
  readonly recall: number;
  /** Harmonic mean of the two; all three are 0 where either list is empty. */
  readonly f: number;
  readonly matched: number;
  /** Played less reference over the matched: below 0 is early. Null where nothing matched. */
  readonly meanErrorMs: number | null;
  /** Standard deviation of the same, of the matched as the whole population. */
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
  const errors = pairs.map((pair) => (played[pair.played] as number) - (reference[pair.reference] as number));
  const mean = errors.reduce((sum, error) => sum + error, 0) / matched;
  const variance = errors.reduce((sum, error) => sum + (error - mean) ** 2, 0) / matched;
  return {
    precision,
    recall,
    f,
    matched,
    meanErrorMs: 1000 * mean,
    spreadMs: 1000 * Math.sqrt(variance),
  };
}
