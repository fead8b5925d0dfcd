/** Two lists of times compared by the published onset measure. */
import { match } from "./match.ts";

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

/** Half width in seconds of the published measure. */
export const WINDOW = 0.05;

/**
 * @param reference, played seconds, ascending
 * @param window seconds, half width, inclusive
 */
export function compareTimes(
  reference: readonly number[],
  played: readonly number[],
  window: number = WINDOW,
): TimesCompared {
  const pairs = match(reference, played, window);
  const matched = pairs.length;
  if (matched === 0) return { precision: 0, recall: 0, f: 0, matched, meanErrorMs: null, spreadMs: null };
  const precision = matched / played.length;
  const recall = matched / reference.length;
  const errors = pairs.map((pair) => (played[pair.played] as number) - (reference[pair.reference] as number));
  const mean = errors.reduce((sum, error) => sum + error, 0) / matched;
  const variance = errors.reduce((sum, error) => sum + (error - mean) ** 2, 0) / matched;
  return {
    precision,
    recall,
    f: (2 * precision * recall) / (precision + recall),
    matched,
    meanErrorMs: 1000 * mean,
    spreadMs: 1000 * Math.sqrt(variance),
  };
}
