/**
 * What is worked out about a routine: where phrases come round, what they are called, whether hands can do them,
 * how one leads to the next. The fields that `countercut describe --json` prints come first in each interface; the
 * rest is for tables and screens. Facts are kept by identity: what an edit did not touch is the same object as
 * before.
 */
import type { Edit } from "./edit.ts";
import type { MetreFacts } from "./metre.ts";
import type { Problem } from "./problem.ts";
import type { Limits } from "./routine.ts";
import type { Units } from "./units.ts";

/** The limits of the hands that a phrase is measured against. */
export type HandLimit = Extract<
  keyof Limits,
  "clicks" | "splitClicks" | "strokes" | "splitStrokes" | "closedMs" | "openMs" | "speed"
>;

/** One figure of a phrase under the hands, at the tempo where it is played. */
export interface HandFigure {
  readonly limit: HandLimit;
  /** Clicks or strokes a second, milliseconds, or times platter speed: the hardest moment of the placement. */
  readonly value: number;
  readonly allowed: number;
  readonly within: boolean;
  /** Where that moment starts, units from the section's start. */
  readonly at: Units;
  /** Quarters a minute at which the limit is reached, the same music being played at one tempo throughout. */
  readonly reachedAtTempo: number;
}

/** The same of a pattern by itself, which has no tempo: only where each limit is reached, straight. */
export interface HandReach {
  readonly limit: HandLimit;
  readonly reachedAtTempo: number;
}

/** A stretch of a phrase that is a scratch with a settled name, or another of the user's patterns. */
export interface NamedPart {
  readonly name: string;
  /** Steps of the record hand from the pattern's start, fractions as text; the end is not included. */
  readonly from: string;
  readonly to: string;
}

/** Another of the user's patterns that is the same but for a change that can be said. */
export interface Alike {
  readonly pattern: string;
  readonly name: string;
  /** Forward and back exchanged; all times in one proportion; or both. */
  readonly how: "mirrored" | "another-step" | "mirrored-another-step";
}

export interface PatternFacts {
  readonly id: string;
  /** Of the record hand's steps, a fraction as text. */
  readonly combinedSteps: string;
  /** In one combined length. */
  readonly sounds: number;
  readonly mirrored: boolean;
  /** A record cycle; null with a released stroke. */
  readonly driftDegrees: number | null;
  /** Trade names, then the user's other patterns that it equals, by name (by id where they have none). */
  readonly names: readonly string[];

  /** "2 clicks a stroke", "roll of 3": descriptions where there is no settled name. */
  readonly described: readonly string[];
  readonly alike: readonly Alike[];
  readonly parts: readonly NamedPart[];
  readonly reach: readonly HandReach[];
}

export interface Landing {
  /** What is left after the last whole combined cycle, in the record hand's steps; "0" when it lands. */
  readonly steps: string;
}

/** Where the record leaves a sample that does not repeat. */
export interface RunsOut {
  /** Units from the section's start. */
  readonly at: Units;
  readonly end: "start" | "end";
}

export interface PlacementFacts {
  /** Id of the section, and index in its list. */
  readonly section: string;
  readonly placement: number;
  readonly comeRoundBars: number;
  readonly comeRoundRepeats: number;
  /**
   * Position in the bar of each repeat until it comes round against the bar, fractions of a whole note as text,
   * counted from the placement's start; at most 1,000.
   */
  readonly repeatStarts: readonly string[];
  /** Null without a beat. */
  readonly comeRoundWithBeatBars: number | null;
  readonly landing: Landing;

  readonly pattern: string;
  /** Whole combined cycles that it holds. */
  readonly repeats: number;
  /** The pattern's trade names at this tempo: here a baby may be a scribble. */
  readonly names: readonly string[];
  readonly hands: readonly HandFigure[];
  /**
   * Against the bar, from where the placement starts; null where there is no grid to count on, or more than 4,096
   * sounds until it comes round (facts/metre.ts).
   */
  readonly metre: MetreFacts | null;
  readonly runsOut: RunsOut | null;
}

export type Verdict = "flows" | "reset" | "beyond your limits";

export interface PlacementRef {
  /** Id of the section, and index in its list. */
  readonly section: string;
  readonly placement: number;
}

export interface JoinFacts {
  readonly from: PlacementRef;
  readonly to: PlacementRef;
  /** How long there is, with the hands' swing. */
  readonly seconds: number;
  /** Signed, the shortest way to the same sound; null where the sample changes. */
  readonly moveDegrees: number | null;
  /** Times platter speed; null where there is no time, where the sample changes, and with a cue button. */
  readonly speed: number | null;
  readonly faderOpen: boolean;
  readonly sampleChanges: boolean;
  readonly verdict: Verdict;

  readonly player: number;
}

export interface SectionFacts {
  readonly id: string;
  /** In the order of the file; words are not among them. */
  readonly placements: readonly PlacementFacts[];
  /** Those that lead into a placement of this section, in the order of arrival. */
  readonly joins: readonly JoinFacts[];
}

export type MendKind =
  | "carry-on"
  | "start-on-record"
  | "start-in-cycle"
  | "leave-earlier"
  | "start-later"
  | "both-shorter"
  | "opposite-stroke"
  | "released-stroke"
  | "cue-button"
  | "same-sample"
  | "same-sample-before"
  | "start-earlier"
  | "cut-last-repeat"
  | "lengthen"
  | "add-groups";

/** A change that was tried and does what it promises: the join's verdict, or that the phrase lands. */
export interface Mend {
  readonly kind: MendKind;
  /** "End Wake 2 steps earlier." */
  readonly words: string;
  /** Ready to be applied to the routine that it was worked out for. */
  readonly edit: Edit;
  readonly promises: Verdict | "lands";
  /** How much music is moved, cut or added, in quarter notes. */
  readonly quarters: number;
}

export interface Facts {
  readonly patterns: readonly PatternFacts[];
  readonly sections: readonly SectionFacts[];
  /** Every warning of the routine, in the order of the file. */
  readonly warnings: readonly Problem[];
}

/** The tempo where a limit is reached, as whole quarters a minute that are still within it: 119.9999999 is 120. */
export const wholeTempo = (reached: number): number => Math.floor(reached * (1 + 1e-6));
