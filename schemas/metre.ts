/** How the onsets of a phrase lie among themselves and against the bar: figures, and where they are published. */

/** Measures that need no bar. Each is of one combined length, repeating. */
export interface RhythmFigures {
  readonly onsets: number;
  /** Onsets a quarter note. */
  readonly perQuarter: number;
  /** The part of the pulses that an onset stands on, above 0 to 1. */
  readonly filled: number;
  /** Chord sum over the greatest possible, above 0 to 1. */
  readonly evenness: number;
  /** 0 to below 200; null for fewer than two onsets. */
  readonly npvi: number | null;
  readonly maximallyEven: boolean;
  readonly oddity: boolean;
  readonly deep: boolean;
  readonly distinctIntervals: number;
}

/** Measures against the bar: sums over the onsets, but for `wnbd`, which is their mean. */
export interface BarFigures {
  /** Longuet-Higgins and Lee: the sum of the strengths above 0. */
  readonly lhl: number;
  readonly keith: number;
  /** Onsets that start off their own beat. */
  readonly keithStarts: number;
  /** Onsets that no even division of the bar meets. */
  readonly offBeats: number;
  /** Mean over the onsets; an exact fraction as text, and as a number. */
  readonly wnbd: string;
  readonly wnbdValue: number;
}

export interface RepeatFigures extends BarFigures {
  /** Position in the bar where the repeat starts, a fraction of a whole note as text. */
  readonly at: string;
}

export interface MetreFacts {
  /** The pulse that all onsets, the phrase and the beat stand on, a fraction of a whole note as text. */
  readonly pulse: string;
  readonly barPulses: number;
  readonly rhythm: RhythmFigures;
  /** Of the whole phrase until it comes round against the bar, sums being per bar. */
  readonly whole: BarFigures & { readonly complexity: number };
  /** Each repeat until it comes round, at most 1,000. */
  readonly repeats: readonly RepeatFigures[];
  /** Index of the repeat that pulls most against the beat: by lhl, then keith, then the mean distance; the first. */
  readonly pullsMost: number;
}

/** What each figure is called on the screen, and where it is published. */
export const MEASURES: Readonly<
  Record<
    Exclude<keyof RhythmFigures | keyof BarFigures | "complexity", "wnbdValue">,
    { readonly name: string; readonly source: string }
  >
> = {
  onsets: { name: "onsets", source: "a count" },
  perQuarter: { name: "attack density", source: "a count" },
  filled: { name: "pulses filled", source: "a count" },
  evenness: {
    name: "evenness",
    source: "Demaine et al. 2009, Comput. Geom. 42:429-454: sum of chords, over its greatest",
  },
  npvi: { name: "nPVI", source: "Daniele & Patel 2013, Music Perception 31(1):10-18" },
  maximallyEven: {
    name: "maximally even",
    source: "Toussaint 2013, The Geometry of Musical Rhythm, Fig. 37.11",
  },
  oddity: { name: "rhythmic oddity", source: "Toussaint 2013, The Geometry of Musical Rhythm, Fig. 37.11" },
  deep: { name: "deep", source: "Toussaint 2013, The Geometry of Musical Rhythm, Fig. 37.11" },
  distinctIntervals: {
    name: "different intervals",
    source: "Toussaint 2013, The Geometry of Musical Rhythm, Fig. 37.11",
  },
  lhl: { name: "syncopation (LHL)", source: "Longuet-Higgins & Lee 1984, Music Perception 1(4):424-441" },
  keith: { name: "syncopation (Keith)", source: "Keith 1991, From Polychords to Pólya" },
  keithStarts: { name: "off-beat starts", source: "Keith 1991, as counted by Gómez et al. 2005, BRIDGES" },
  offBeats: { name: "off-beatness", source: "Toussaint 2005; Gómez et al. 2005, BRIDGES 73-84" },
  wnbd: { name: "distance from the beat (WNBD)", source: "Gómez et al. 2005, BRIDGES 73-84" },
  complexity: { name: "metrical complexity", source: "Toussaint 2002, BRIDGES 157-168" },
};
