/**
 * What was recorded, kept beside the routine in `<name>.recordings/`: a WAV of the player's own sound (none where keys
 * or notes were played) and a JSON file of the same name with what is below.
 */
import { z } from "zod";
import { PracticeOf } from "./practice.ts";
import { Id, Player } from "./routine.ts";
import { FASTEST, LoopRange, SLOWEST } from "./soundWire.ts";

export const RecordedBy = z.enum(["microphone", "file", "keys", "notes"]);
export type RecordedBy = z.infer<typeof RecordedBy>;

/** Whose onsets are compared: a cut is the fader hand's, every other onset the record hand's. */
export const HandsHeard = z.enum(["both", "record", "fader"]);
export type HandsHeard = z.infer<typeof HandsHeard>;

/** What the page says of a recording. */
export const RecordingAbout = z.strictObject({
  /** What was played, for people: "Cast off". */
  title: z.string().min(1).max(120),
  range: LoopRange,
  /**
   * It was stopped, or its sound ends, before the end of what was to be played: `range` ends there, and nothing after it
   * is judged.
   */
  stopped: z.literal(true).optional(),
  /** The same as practice names it, where it is a part that can be practised. */
  of: PracticeOf.optional(),
  speed: z.number().min(SLOWEST).max(FASTEST),
  player: Player.optional(),
  by: RecordedBy,
  hands: HandsHeard,
  /** Milliseconds between a sound and its place in the recording that were taken off before. */
  allowedMs: z.number().min(-1000).max(1000),
});
export type RecordingAbout = z.infer<typeof RecordingAbout>;

/** Seconds from the start of what was played, of keys or notes. */
export const PlayedTimes = z.array(z.number().min(-10).max(30_000)).max(100_000);

const ms = z.number().nullable();

export const HeardSound = z.strictObject({
  section: Id,
  /** Units from the section's start. */
  at: z.number(),
  placement: z.int(),
  onset: z.enum(["cut", "turn", "restart", "from-rest"]),
  hand: z.enum(["record", "fader"]),
  /** Which step of its hand's group it falls on, from 1, and how many there are; in that hand's own steps. */
  step: z.number(),
  steps: z.number(),
  /** Played less meant, the constant lag taken off; below 0 is early; null: missed. */
  errorMs: ms,
  /** Milliseconds of error that cannot be heard where it stands (Friberg & Sundberg 1995). */
  unheardMs: z.number(),
});
export type HeardSound = z.infer<typeof HeardSound>;

export const RecordingResult = z.strictObject({
  precision: z.number(),
  recall: z.number(),
  f: z.number(),
  matched: z.int(),
  lagMs: ms,
  beatLagMs: ms,
  spreadMs: ms,
  sounds: z.array(HeardSound),
  /** Where something began that is not meant. */
  extra: z.array(z.strictObject({ section: Id, at: z.number() })),
});
export type RecordingResult = z.infer<typeof RecordingResult>;

export const Recording = z.strictObject({
  ...RecordingAbout.shape,
  /** The name of its files. */
  id: z.string(),
  /** When it was kept, "2026-03-01T18:20:05.000Z". */
  at: z.string(),
  seconds: z.number(),
  /** Greatest sample, 0 to 1, and how many samples stand at the very end of the scale; null without a sound. */
  peak: z.number().nullable(),
  clipped: z.int(),
  times: PlayedTimes.optional(),
  /** Null until it has been compared. */
  result: RecordingResult.nullable(),
});
export type Recording = z.infer<typeof Recording>;

/** What a list of recordings says of each. */
export type RecordingLine = Omit<Recording, "result" | "times"> & {
  readonly result: Omit<RecordingResult, "sounds" | "extra"> | null;
};
