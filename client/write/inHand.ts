/** The phrase that is written, and where in it one is. */
import { signal } from "@preact/signals";
import type { Pattern } from "../../schemas/routine.ts";
import { place } from "../state/place.ts";
import { change, opened } from "../state/store.ts";
import type { Hand } from "./phrase.ts";

/** The stroke or cell in hand. */
export const inHand = signal<{ readonly hand: Hand; readonly index: number }>({ hand: "record", index: 0 });
/** What is typed or dragged at the moment, in place of the pattern that is kept. */
export const trying = signal<Pattern | null>(null);

export function patternInHand(): Pattern | null {
  const patterns = opened.value?.routine.patterns ?? [];
  return patterns.find(({ id }) => id === place.value.of) ?? patterns[0] ?? null;
}

export function keep(pattern: Pattern, words: string): void {
  trying.value = null;
  change(
    { kind: "change-pattern", id: pattern.id, set: { record: pattern.record, fader: pattern.fader } },
    words,
  );
}
