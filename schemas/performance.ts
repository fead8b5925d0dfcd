/**
 * A Performance is the compiled timeline: everything that is seen, heard or taken away is computed from it, so
 * that picture, sound and clip cannot disagree.
 *
 * Times inside a section are units from the START OF THAT SECTION (negative for a pickup), so that a section can
 * be kept when those before it change. Ends are not included.
 */
import type { Degrees, Seconds, Units } from "./units.ts";

export type Direction = "forward" | "back";
export type Onset = "cut" | "turn" | "restart" | "from-rest";

/** One move of the record hand, cut off at the end of its placement. A split stroke is one entry a move. */
export interface StrokeEvent {
  readonly start: Units;
  readonly end: Units;
  readonly direction: Direction | "hold";
  /** Where the record stands at start and end; a cut-off stroke has done the part that its shape says. */
  readonly from: Degrees;
  readonly to: Degrees;
  /** How it moves in between; a hold is "even" over no travel. */
  readonly shape: "eased" | "even" | "released";
  /**
   * The end it would have had, and the signed travel to there; equal to `end` and `to − from` unless cut off. A
   * released one travels only while it lasts.
   */
  readonly fullEnd: Units;
  readonly fullTravel: Degrees;
  /** Index in the section's list of placements. */
  readonly placement: number;
}

/** A longest stretch in which the fader is open, within a placement. */
export interface OpeningEvent {
  readonly start: Units;
  readonly end: Units;
  readonly placement: number;
}

/** A longest stretch in which the fader is open and the record moves within one stroke. */
export interface SoundEvent {
  readonly start: Units;
  readonly end: Units;
  readonly direction: Direction;
  readonly onset: Onset;
  readonly from: Degrees;
  readonly to: Degrees;
  readonly placement: number;
}

export interface BeatEvent {
  readonly at: Units;
  readonly key: number;
  readonly velocity: number;
}

/** Where a placement came to lie. */
export interface PlacedEvent {
  readonly placement: number;
  readonly player: number;
  readonly start: Units;
  readonly end: Units;
  /** The pattern's id, or null for words. */
  readonly pattern: string | null;
  /** The words, or null for a pattern. */
  readonly words: string | null;
  /** Id of the sample it plays; null for words. */
  readonly sample: string | null;
  /** Where the record starts and is left, degrees; 0 for words. */
  readonly from: Degrees;
  readonly to: Degrees;
  /** Starts of each round of the hands' groups inside the placement (partial first rounds excluded). */
  readonly recordGroups: readonly Units[];
  readonly faderGroups: readonly Units[];
}

export interface SectionPerformance {
  readonly id: string;
  /** Units in the section, and in a bar of it. */
  readonly length: Units;
  readonly bar: Units;
  /** Sorted by start, then placement. */
  readonly strokes: readonly StrokeEvent[];
  readonly openings: readonly OpeningEvent[];
  readonly sounds: readonly SoundEvent[];
  /** Sorted by time, then key. */
  readonly beat: readonly BeatEvent[];
  /** Units in the beat (0 without one), and how far into it the section starts. */
  readonly beatLength: Units;
  readonly beatPhase: Units;
  /** In the order of the file. */
  readonly placed: readonly PlacedEvent[];
}

/** A section and where it stands in the routine. Seconds know no swing. */
export interface TimedSection {
  readonly start: Units;
  readonly end: Units;
  readonly startSeconds: Seconds;
  readonly endSeconds: Seconds;
  readonly performance: SectionPerformance;
}

export interface Performance {
  readonly sections: readonly TimedSection[];
  /** Whole bars before the first section that hold its pickup; sections[0].start is their length. */
  readonly leadInBars: number;
  readonly end: Units;
  readonly endSeconds: Seconds;
}
