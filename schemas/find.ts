/**
 * Questions to the space of combinations and to the gaps of a routine, and their answers, as they go over the
 * wire. A combination is a record cycle and a fader cycle of equal steps, one kind a step.
 *
 * Types for readers; server/facts/find.ts gives the meaning of each fact, server/facts/fill.ts that of a filling.
 */
import { z } from "zod";
import { FaderState, Limits, Move, Pattern, Platter, Step } from "./routine.ts";

/** Longest cycles that can be asked for, in steps. */
export const LONGEST_RECORD = 16;
export const LONGEST_FADER = 24;
export const MOST_FOUND = 1000;
/** A search that must look at more combinations than this is refused; their number alone has no such limit. */
export const MOST_LOOKED_AT = 10_000_000_000;

/** Both ends are included. */
export const Range = z
  .strictObject({ from: z.int().min(0), to: z.int().min(0) })
  .refine(({ from, to }) => from <= to, "runs backwards: its first number is above its last");

const lengths = (most: number) =>
  z
    .strictObject({ from: z.int().min(1).max(most), to: z.int().min(1).max(most) })
    .refine(({ from, to }) => from <= to, "runs backwards: its first number is above its last");

const kinds = <Kind extends z.ZodType>(kind: Kind) =>
  z
    .array(kind)
    .min(1, "names none: choose one or more")
    .refine((list) => new Set(list).size === list.length, "names one twice");

/** Record cycles of so many steps over these strokes, under fader cycles of so many over these cells. */
export const Space = z.strictObject({
  record: lengths(LONGEST_RECORD),
  fader: lengths(LONGEST_FADER),
  strokes: kinds(Move),
  cells: kinds(FaderState),
});

/** Parts of all sounds, 0 to 1, both ends included. */
const Share = z.strictObject({
  from: z.number().min(0).max(1).optional(),
  to: z.number().min(0).max(1).optional(),
});
export const OnsetMix = z.strictObject({
  cut: Share.optional(),
  turn: Share.optional(),
  restart: Share.optional(),
  "from-rest": Share.optional(),
});

/** Scratches that can stand in a phrase of one-step strokes and cells; the others take longer strokes, or a tempo. */
export const FindableName = z.enum(["baby", "tear"]);

/** What a combination must be; what is left out does not matter. */
export const Filter = z.strictObject({
  combinedSteps: Range.optional(),
  mirrored: z.boolean().optional(),
  /** "closable": zero, or zero after the travels of one direction are scaled. */
  drift: z.enum(["zero", "closable"]).optional(),
  /** Comes round with the bar within so many bars. */
  withinBars: z.int().min(1).optional(),
  /** Within the limits of the hands at this tempo, quarters a minute. */
  playableAt: z.number().min(20).max(400).optional(),
  sounds: Range.optional(),
  contains: z.array(FindableName).optional(),
  avoids: z.array(FindableName).optional(),
  onsets: OnsetMix.optional(),
});

export const RankedBy = z.enum(["difficulty", "evenness", "syncopation", "distance"]);
export const Ranking = z.strictObject({ by: RankedBy, first: z.enum(["least", "most"]) });

export const FindQuestion = z.strictObject({
  space: Space,
  filter: Filter.optional(),
  /** Left out: the order of the listing. */
  ranking: Ranking.optional(),
  /** How many to give back at most. */
  top: z.int().min(0).max(MOST_FOUND),
  /** "4/4" where left out. */
  meter: z.string().optional(),
  /** The step as a part of a whole note; "1/16" where left out. */
  step: Step.optional(),
  limits: Limits.optional(),
  platter: Platter.optional(),
  /** What the player has already; distance is measured from the nearest of these. */
  library: z.array(Pattern).max(1000).optional(),
});

/** One combination and its facts. */
export const Found = z.strictObject({
  record: z.array(Move),
  /** As it stands over the record's first step: put in one pattern with `record`, it is this combination. */
  fader: z.array(FaderState),
  /** Where the lengths share a factor: by how many steps the fader's group is turned, from 0. */
  phase: z.int(),
  /** Steps, a whole number as text. */
  combinedSteps: z.string(),
  comeRoundBars: z.int(),
  comeRoundRepeats: z.int(),
  /** In one combined length. */
  sounds: z.int(),
  onsets: z.strictObject({ cut: z.int(), turn: z.int(), restart: z.int(), "from-rest": z.int() }),
  mirrored: z.boolean(),
  /** Of one record cycle, at 45 degrees a stroke. */
  driftDegrees: z.number(),
  /** The travel at which the strokes of one direction close the drift; null where there is none to close, or no way. */
  closesWith: z.strictObject({ move: z.enum(["forward", "back"]), travel: z.number() }).nullable(),
  /** Trade names of the whole phrase. */
  names: z.array(z.string()),
  difficulty: z.number(),
  /** What it was ranked by, where that is not the difficulty. */
  rankedAt: z.number().optional(),
});

export const FindProgress = z.strictObject({
  /** Combinations looked at, and in the space; exact, as text. */
  looked: z.string(),
  total: z.string(),
  matching: z.string(),
});
export const FindAnswer = z.strictObject({
  /** Exact as text: those that match, however many are listed; a cancelled search gives what it saw. */
  count: z.string(),
  combinations: z.array(Found),
  complete: z.boolean(),
});

export type Range = z.infer<typeof Range>;
export type Space = z.infer<typeof Space>;
export type Filter = z.infer<typeof Filter>;
export type FindableName = z.infer<typeof FindableName>;
export type RankedBy = z.infer<typeof RankedBy>;
export type OnsetMix = z.infer<typeof OnsetMix>;
export type Ranking = z.infer<typeof Ranking>;
export type FindQuestion = Omit<z.infer<typeof FindQuestion>, "library"> & {
  readonly library?: readonly Pattern[];
};
export type Found = z.infer<typeof Found>;
export type FindProgress = z.infer<typeof FindProgress>;
export type FindAnswer = z.infer<typeof FindAnswer>;

/** Longest gap, most groups, most listed: the count itself may have thousands of digits. */
export const LARGEST_GAP = 20_000;
export const MOST_GROUPS = 64;
export const MOST_FILLINGS = 1000;

/** The sequences that fill a gap exactly. */
export const FillAnswer = z.strictObject({
  /** Exact as text. */
  count: z.string(),
  /** The best first: lengths in steps (whole numbers, or fractions as text), and patterns by their ids. */
  best: z.array(z.array(z.union([z.int(), z.string()]))),
});
export type FillAnswer = z.infer<typeof FillAnswer>;
