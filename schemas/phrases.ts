/**
 * Phrases and beats outside a routine: the user's own that all routines of a folder share (`my-phrases.json` in it),
 * and files that carry some of them from one to another. Both have one format.
 */
import { z } from "zod";
import { Beat, Id, Name, Pattern } from "./routine.ts";

export const MOST_PHRASES = 5_000;
const MOST_LABELS = 20;

/** A word or two by which it is found again. */
const PhraseLabel = z.string().min(1).max(60);

const about = {
  id: Id,
  name: Name,
  labels: z.array(PhraseLabel).max(MOST_LABELS).optional(),
};
export const MyPhrase = z.union([
  z.strictObject({ ...about, pattern: Pattern }),
  /** The sound of a recorded one lies beside the phrases, under the phrase's id; a file of phrases carries none. */
  z.strictObject({ ...about, beat: Beat }),
]);
export type MyPhrase = z.infer<typeof MyPhrase>;

const PHRASES_FORMAT = "countercut-phrases";
export const PhrasesFile = z.strictObject({
  format: z.literal(PHRASES_FORMAT),
  version: z.literal(1),
  phrases: z.array(MyPhrase).max(MOST_PHRASES),
});
export type PhrasesFile = z.infer<typeof PhrasesFile>;

export const phrasesFile = (phrases: readonly MyPhrase[]): string =>
  `${JSON.stringify({ format: PHRASES_FORMAT, version: 1, phrases }, null, 2)}\n`;
