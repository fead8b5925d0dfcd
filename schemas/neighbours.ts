/** Phrases that differ from one by a single change, and what the change does. */
import type { FaderState, Move, Pattern } from "./routine.ts";

/** Indices of strokes and cells count from 0. */
export type PhraseChange =
  | { readonly what: "stroke"; readonly index: number; readonly to: Move }
  | { readonly what: "cell"; readonly index: number; readonly to: FaderState }
  /** One step more, one step less; the last step of a stroke or cell removes it. */
  | { readonly what: "longer" | "shorter"; readonly hand: "record" | "fader"; readonly index: number }
  /** The fader's group starts with this cell. */
  | { readonly what: "shifted"; readonly index: number };

export interface Neighbour {
  readonly change: PhraseChange;
  /** The change in words. */
  readonly says: string;
  /** With the id and name of the phrase that it is a neighbour of. */
  readonly pattern: Pattern;
  /** Of the record hand's steps, a fraction as text. */
  readonly combinedSteps: string;
  readonly comeRoundBars: number;
  readonly comeRoundRepeats: number;
  /** Null where the phrase is too long to go through. */
  readonly difficulty: number | null;
}

export interface Neighbours {
  readonly here: Omit<Neighbour, "change" | "says" | "pattern">;
  /** The easiest first; those whose difficulty is not known last. */
  readonly neighbours: readonly Neighbour[];
}
