/** How well what was played meets what was meant, by the published onset measure (match.ts says which). */
import { match, type Pair } from "./match.ts";

/** Half width in seconds of the published measure's window. */
export const WINDOW = 0.05;

export interface Score {
  readonly pairs: readonly Pair[];
  readonly matched: number;
  /** Matched over played, and over meant; 0 where there are none. */
  readonly precision: number;
  readonly recall: number;
  /** Harmonic mean of the two; 0 where nothing matched. */
  readonly f: number;
}

/**
 * @param meant, played seconds, ascending
 * @param window seconds, half width, inclusive
 */
export function scoreOf(meant: readonly number[], played: readonly number[], window: number): Score {
  const pairs = match(meant, played, window);
  const matched = pairs.length;
  const precision = played.length === 0 ? 0 : matched / played.length;
  const recall = meant.length === 0 ? 0 : matched / meant.length;
  const f = matched === 0 ? 0 : (2 * precision * recall) / (precision + recall);
  return { pairs, matched, precision, recall, f };
}
