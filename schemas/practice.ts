/**
 * What was practised: one entry a drill, kept beside the routine in `<name>.practice.jsonl`, a line an entry (JSON
 * Lines), added and never rewritten, so that a person can read it and any program can take it further.
 *
 * Things are named by what stays when the routine is edited: sections and patterns by id. Two joins between the same
 * phrases of the same sections ask the same of the hands, and count as one.
 */
import { z } from "zod";
import { Id } from "./routine.ts";

/** A pattern where it is played. */
const Phrase = z.strictObject({ section: Id, pattern: Id });

/** What a drill goes over. */
export const PracticeOf = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("phrase"), ...Phrase.shape }),
  z.strictObject({ kind: z.literal("join"), from: Phrase, to: Phrase }),
  z.strictObject({ kind: z.literal("section"), section: Id }),
  z.strictObject({ kind: z.literal("whole") }),
]);
export type PracticeOf = z.infer<typeof PracticeOf>;

/** Equal for what counts as the same thing to practise. */
export function practiceKey(of: PracticeOf): string {
  switch (of.kind) {
    case "phrase":
      return `phrase ${of.section}/${of.pattern}`;
    case "join":
      return `join ${of.from.section}/${of.from.pattern} ${of.to.section}/${of.to.pattern}`;
    case "section":
      return `section ${of.section}`;
    case "whole":
      return "whole";
  }
}

const count = z.int().min(0).max(1_000_000);
/** Quarter notes a minute, as heard. */
const tempo = z.number().positive().max(1_000);

/** How the played times lay against the expected ones, by the published onset measure. */
export const PracticeScore = z.strictObject({
  /** How it was heard: taps of one hand, or a recording. */
  by: z.enum(["taps", "recording"]),
  expected: count,
  matched: count,
  /** Played and expected by nobody. */
  extra: count,
  /** Milliseconds, late is positive; null where nothing matched. */
  meanMs: z.number().nullable(),
  /** Of the errors of the matched, milliseconds, as `spreadOf` says. */
  spreadMs: z.number().min(0).nullable(),
});
export type PracticeScore = z.infer<typeof PracticeScore>;

export const PracticeEntry = z.strictObject({
  /** Chosen by the page: an entry that is sent again is kept once. */
  id: z.string().min(8).max(64),
  /** When it ended, "2026-03-01T18:20:05.000Z". */
  at: z.iso.datetime(),
  of: PracticeOf,
  /** Played, without rests between rounds. */
  seconds: z.number().min(0).max(86_400),
  good: count,
  bad: count,
  /** The highest tempo of a good round. */
  reached: tempo.nullable(),
  /** The lowest tempo of a bad round. */
  failedAt: tempo.nullable(),
  /** As the routine says it where the drill starts. */
  written: tempo,
  /** What the hands did. */
  strokes: count,
  clicks: count,
  score: PracticeScore.optional(),
  /** The recording's file in the folder, by its name. */
  recording: z.string().min(1).max(300).optional(),
});
export type PracticeEntry = z.infer<typeof PracticeEntry>;
