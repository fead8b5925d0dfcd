/** The phrase that is written, and where in it one is. */
import { effect, signal } from "@preact/signals";
import type { Pattern } from "../../schemas/routine.ts";
import { place } from "../state/place.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { waitingHere } from "../state/waiting.ts";
import { type Hand, itemsOf } from "./phrase.ts";

export interface Caret {
  readonly hand: Hand;
  readonly index: number;
  /** It was just put in by a key: the next letter goes to the place after it. */
  readonly typed?: boolean;
}
/** The stroke or cell in hand. */
export const inHand = signal<Caret>({ hand: "record", index: 0 });
/** What is typed or dragged at the moment, or on its way to the server, in place of the pattern that is kept. */
export const trying = signal<Pattern | null>(null);
/** A drag or a line of typing is going on. */
const holding = signal(false);

export function patternInHand(): Pattern | null {
  const patterns = opened.value?.routine.patterns ?? [];
  const { of } = place.value;
  const found = patterns.find(({ id }) => id === of);
  // One that was only just begun is not the server's yet: no other may stand in for it.
  if (found === undefined && of !== "" && waitingHere.value.length > 0) return null;
  return found ?? patterns[0] ?? null;
}
/** The same as it is at this moment: with what is tried, so that one edit builds on the one before. */
export function patternNow(): Pattern | null {
  const kept = patternInHand();
  const id = kept?.id ?? place.value.of;
  return trying.value?.id === id ? trying.value : kept;
}

/** The caret, within what is there. */
export function caretIn(pattern: Pattern): Caret {
  const { hand, index, typed } = inHand.value;
  const last = itemsOf(pattern, hand).length - 1;
  return { hand, index: Math.min(index, last), ...(typed === true && index <= last ? { typed } : {}) };
}

const left: Record<Hand, number> = { record: 0, fader: 0 };
/** To a hand: where one was in it before. */
export function toHand(hand: Hand): void {
  if (inHand.value.hand === hand) return;
  left[inHand.value.hand] = inHand.value.index;
  inHand.value = { hand, index: left[hand] };
}
export function toStart(): void {
  left.record = 0;
  left.fader = 0;
  inHand.value = { hand: "record", index: 0 };
}

/** Makes it the phrase, as one undo step; it stays in sight until the server has it. */
export function keep(pattern: Pattern, words: string): void {
  trying.value = pattern;
  change(
    { kind: "change-pattern", id: pattern.id, set: { record: pattern.record, fader: pattern.fader } },
    words,
  );
  holding.value = false;
}
/** Shows it without keeping it. */
export function tryOut(pattern: Pattern): void {
  holding.value = true;
  trying.value = pattern;
}
export const letGoOfTrying = (): void => {
  holding.value = false;
};

// Once nothing is held or on its way, what the server says is what there is.
effect(() => {
  if (!holding.value && waitingHere.value.length === 0) trying.value = null;
});
