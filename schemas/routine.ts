/**
 * The routine file, as its readers and writers see it. Types come from these schemas alone. A field with a
 * default may be left out, and is left out when the program writes: see server/routine/write.ts.
 *
 * The schemas say the shape of each part. What concerns several parts at once (references, overlaps, the clock)
 * is said by server/routine/check.ts.
 */
import { z } from "zod";
import { Mappings } from "./mapping.ts";

export const FORMAT = "countercut-routine";
export const VERSION = 1;
export const LARGEST_FILE = 32 * 1024 * 1024;
export const MOST_PLACEMENTS = 100_000;
export const MOST_SECTIONS = 500;
/** Of a section, and of the lead-in. */
export const MOST_BARS = 999;

/** Lower-case words joined by hyphens. */
export const Id = z
  .string()
  .max(200)
  .regex(/^[a-z0-9]+(?:-[a-z0-9]+)*$/, "is no id: lower-case words joined by hyphens");
export const Name = z.string().max(200);

/** A fraction as text, "3/16" or "2"; digits alone, so that no sign, space or exponent slips in. */
const FRACTION = /^(\d{1,12})(?:\/0*([1-9]\d{0,11}))?$/;
const SIGNED_FRACTION = /^-\d{1,12}(?:\/\d{1,12})?$/;
const LARGEST_PART = 999_999_999_999;
const TOO_LARGE = /^0*[1-9]\d{12,}(?:\/0*[1-9]\d*)?$/;
const TOO_FINE = /^\d+\/0*[1-9]\d{12,}$/;

const fractionText = z.string().superRefine((text, context) => {
  if (FRACTION.test(text)) return;
  if (SIGNED_FRACTION.test(text)) {
    context.addIssue({ code: "too_small", minimum: 0, origin: "number", inclusive: true, input: text });
  } else if (TOO_LARGE.test(text)) {
    const bound = { maximum: LARGEST_PART, origin: "number", inclusive: true } as const;
    context.addIssue({ code: "too_big", ...bound, input: text });
  } else if (TOO_FINE.test(text)) {
    context.addIssue({ code: "custom", message: "is finer than the clock counts", input: text });
  } else {
    context.addIssue({
      code: "invalid_format",
      format: "regex",
      message: "is no fraction such as 1/16 or 3",
      input: text,
    });
  }
});
const positiveFractionText = fractionText.superRefine((text, context) => {
  if (FRACTION.test(text) && Number(text.split("/")[0]) === 0) {
    context.addIssue({ code: "too_small", minimum: 0, origin: "number", inclusive: false, input: text });
  }
});

/** Part of a whole note, above 0: "1/16", "1/24". */
export const Step = positiveFractionText;
/** Position in a bar, part of a whole note, from 0. */
export const At = fractionText;
/** A length in steps, above 0: 2 or "3/2". */
export const Length = z.union([z.int().positive().max(1_000_000), positiveFractionText]);

export const Move = z.enum(["forward", "back", "hold"]);
export const Shape = z.enum(["eased", "even", "released"]);
export const Times = z.int().min(1).max(64);

export const Stroke = z.strictObject({
  move: Move,
  length: Length.optional(),
  /** Degrees of the platter. */
  travel: z.number().positive().max(3600).optional(),
  shape: Shape.optional(),
  times: Times.optional(),
});
export const DEFAULT_TRAVEL = 45;

export const FaderState = z.enum(["open", "closed", "click", "pulse"]);
export const Cell = z.strictObject({
  fader: FaderState,
  length: Length.optional(),
  times: Times.optional(),
  /** Steps. */
  closedFor: Length.optional(),
  /** Steps. */
  openFor: Length.optional(),
});

export const RecordCycle = z.strictObject({ step: Step, strokes: z.array(Stroke).min(1).max(256) });
export const FaderCycle = z.strictObject({ step: Step, cells: z.array(Cell).min(1).max(256) });
export const Pattern = z.strictObject({
  id: Id,
  name: Name.optional(),
  record: RecordCycle,
  fader: FaderCycle,
});

export const Hit = z.strictObject({
  /** General MIDI percussion key. */
  key: z.int().min(0).max(127),
  /** Steps from the start of the beat, whole numbers. */
  at: z.array(z.int().min(0)),
  velocity: z.int().min(1).max(127).optional(),
});
export const DEFAULT_VELOCITY = 100;
/** An audio file beside the routine, in its `.sounds` folder; follows the tempo by turning faster or slower. */
export const RecordedBeat = z.strictObject({
  file: z.string().min(1).max(200),
  /** Quarter notes a minute at the file's own speed. */
  tempo: z.number().min(20).max(400),
  /** Seconds from the file's start to the first beat. */
  firstBeat: z.number().min(0).max(3600).optional(),
});
export const Beat = z.strictObject({
  id: Id,
  name: Name.optional(),
  step: Step,
  steps: z.int().min(1).max(1_000_000),
  hits: z.array(Hit),
  recorded: RecordedBeat.optional(),
});

export const Cue = z.strictObject({ id: Id, at: z.number().min(-1_000_000).max(1_000_000) });
export const BuiltInSample = z.enum(["vowel", "stab", "noise", "tone", "syllable"]);
export const Sample = z.strictObject({
  id: Id,
  name: Name.optional(),
  builtIn: BuiltInSample.optional(),
  /** An audio file beside the routine, in its `.sounds` folder. */
  file: z.string().min(1).max(200).optional(),
  /** Seconds of the file that are used. */
  trim: z.strictObject({ from: z.number().min(0).max(3600), to: z.number().min(0).max(3600) }).optional(),
  /** Where 0 degrees lies, seconds after the start of the sound. */
  cue: z.number().min(0).max(3600).optional(),
  /** Degrees after which the sample repeats; 0: it does not. */
  repeatsEvery: z.number().min(0).max(1_000_000).optional(),
  cues: z.array(Cue).max(256).optional(),
});
export const DEFAULT_REPEATS_EVERY = 360;

export const Limits = z.strictObject({
  /** A second, one finger. */
  clicks: z.number().positive().max(1000).optional(),
  splitClicks: z.number().positive().max(1000).optional(),
  strokes: z.number().positive().max(1000).optional(),
  splitStrokes: z.number().positive().max(1000).optional(),
  closedMs: z.number().positive().max(10_000).optional(),
  openMs: z.number().positive().max(10_000).optional(),
  /** Times platter speed. */
  speed: z.number().positive().max(1000).optional(),
  unheardDegrees: z.number().positive().max(3600).optional(),
  changeSeconds: z.number().positive().max(600).optional(),
});
/** Ours (common practice, no source); the user can change each. */
export const DEFAULT_LIMITS = {
  clicks: 10,
  splitClicks: 25,
  strokes: 8,
  splitStrokes: 16,
  closedMs: 20,
  openMs: 20,
  speed: 6,
  unheardDegrees: 15,
  changeSeconds: 2,
} as const;

const Side = z.enum(["left", "right"]);
export const Platter = z.literal([33, 45, 78]);
export const Rig = z.strictObject({
  platter: Platter.optional(),
  recordHand: Side.optional(),
  turntable: Side.optional(),
  reversedFader: z.boolean().optional(),
  samples: z.array(Sample).max(256).optional(),
  limits: Limits.optional(),
});

const LENGTHS = ["bars", "cycles", "steps"];
/** None of the three, or several, is said of the whole: no single one of them is to blame. */
const oneLength = z.unknown().superRefine((lasts, context) => {
  if (typeof lasts !== "object" || lasts === null || Array.isArray(lasts)) return;
  const said = Object.keys(lasts);
  if (said.length === 1 || said.some((field) => !LENGTHS.includes(field))) return;
  const message = "is no length: give it in one of bars, cycles and steps";
  context.addIssue({ code: "invalid_format", format: "regex", message, input: JSON.stringify(lasts) });
});
export const Lasts = oneLength.pipe(
  z.union([
    z.strictObject({ bars: z.int().min(1) }),
    z.strictObject({ cycles: z.int().min(1) }),
    z.strictObject({ steps: z.int().min(1) }),
  ]),
);
export const MOST_PLAYERS = 8;
export const Player = z.int().min(1).max(MOST_PLAYERS);

export const PatternPlacement = z.strictObject({
  pattern: Id,
  /** From 1; 0 and below is a pickup. */
  bar: z.int().min(-1_000_000).max(1_000_000),
  at: At.optional(),
  lasts: Lasts.optional(),
  recordFrom: z.int().min(0).optional(),
  faderFrom: z.int().min(0).optional(),
  sample: Id.optional(),
  recordAt: z.union([z.number().min(-1_000_000).max(1_000_000), Id]).optional(),
  player: Player.optional(),
  carriesOn: z.boolean().optional(),
  arrives: z.enum(["hand", "cue"]).optional(),
});
export const WordsPlacement = z.strictObject({
  words: Name,
  bar: z.int().min(-1_000_000).max(1_000_000),
  at: At.optional(),
  /** Words have no steps or cycles of their own. */
  lasts: Lasts.superRefine((lasts, context) => {
    if ("bars" in lasts) return;
    const message = "is no length that words have: give it in bars";
    context.addIssue({ code: "invalid_format", format: "regex", message, input: JSON.stringify(lasts) });
  }).optional(),
  player: Player.optional(),
});
export const Placement = z.union([PatternPlacement, WordsPlacement]);

const Tempo = z.number().min(20).max(400);
const Ramp = z.strictObject({ from: Tempo, to: Tempo });
const SwingPercent = z.number().min(50).max(75);
export const Swing = z.strictObject({
  of: Step,
  beat: SwingPercent.optional(),
  hands: SwingPercent.optional(),
});
export const Section = z.strictObject({
  id: Id,
  name: Name.optional(),
  bars: z.int().min(1).max(MOST_BARS),
  /** "7/8": upper number 1 to 64, lower a power of two to 32. */
  meter: z.string().regex(/^\d+\/\d+$/, "is no metre such as 4/4"),
  tempo: z.union([Tempo, Ramp]),
  beat: Id.optional(),
  swing: Swing.optional(),
  /** Percent. */
  pitch: z.number().min(-50).max(50).optional(),
  beatContinues: z.boolean().optional(),
  beatRests: z.array(z.int().min(1)).max(MOST_BARS).optional(),
  placements: z.array(Placement),
});

export const Routine = z.strictObject({
  format: z.literal(FORMAT),
  version: z.literal(VERSION),
  title: Name,
  /** Seconds. */
  timeLimit: z.number().positive().max(86_400).optional(),
  rig: Rig.optional(),
  patterns: z.array(Pattern),
  beats: z.array(Beat),
  sections: z.array(Section).min(1).max(MOST_SECTIONS),
  /** Ways of writing it as MIDI; the first is in use. Left out: everything, as in the program's own mapping. */
  mappings: Mappings.optional(),
});

/** A value of plain data that nothing may change, through and through. */
export type Immutable<T> = T extends readonly (infer Item)[]
  ? readonly Immutable<Item>[]
  : T extends object
    ? { readonly [Key in keyof T]: Immutable<T[Key]> }
    : T;

/** A routine is an immutable value: an edit makes a new one that shares what it did not touch. */
export type Routine = Immutable<z.infer<typeof Routine>>;
export type Rig = Immutable<z.infer<typeof Rig>>;
export type Sample = Immutable<z.infer<typeof Sample>>;
export type Pattern = Immutable<z.infer<typeof Pattern>>;
export type RecordCycle = Immutable<z.infer<typeof RecordCycle>>;
export type FaderCycle = Immutable<z.infer<typeof FaderCycle>>;
export type Stroke = Immutable<z.infer<typeof Stroke>>;
export type Cell = Immutable<z.infer<typeof Cell>>;
export type Beat = Immutable<z.infer<typeof Beat>>;
export type Hit = Immutable<z.infer<typeof Hit>>;
export type Section = Immutable<z.infer<typeof Section>>;
export type Placement = Immutable<z.infer<typeof Placement>>;
export type PatternPlacement = Immutable<z.infer<typeof PatternPlacement>>;
export type WordsPlacement = Immutable<z.infer<typeof WordsPlacement>>;
export type Lasts = Immutable<z.infer<typeof Lasts>>;
export type Swing = Immutable<z.infer<typeof Swing>>;
export type Move = z.infer<typeof Move>;
export type Shape = z.infer<typeof Shape>;
export type FaderState = z.infer<typeof FaderState>;
/** Every limit of the user's hands, defaults filled in. */
export type Limits = { readonly [Key in keyof typeof DEFAULT_LIMITS]: number };

export const isWords = (placement: Placement): placement is WordsPlacement => "words" in placement;
