/** A phrase or a beat by itself, in place of the routine: set by the screens that write. */
import { computed, effect, signal } from "@preact/signals";
import type { Material } from "../../schemas/soundWire.ts";
import { BUILT_IN, place, SAMPLES } from "../state/place.ts";
import { comes } from "../state/settings.ts";
import { opened } from "../state/shown.ts";
import { keep, next, stop } from "./player.ts";
import { playing } from "./playing.ts";

type Alone = Extract<Material, { kind: "alone" }>;
export const material = signal<Alone | null>(null);
export const playsAlone = computed(() => material.value !== null && place.value.screen === "write");
/** What plays by itself, in a word: by where one is on Write. */
export const aloneWord = computed(() => {
  const { of } = place.value;
  if (of === SAMPLES) return "Sample";
  return of === BUILT_IN || of.startsWith("beat ") ? "Beat" : "Phrase";
});

/** What plays by itself plays the sounds of the routine that it is from. */
export function withSounds(): Alone | null {
  const now = material.peek();
  return now === null ? null : { ...now, sounds: opened.peek()?.name };
}

/** When what plays by itself gives way to another: at once, where one edits it; with the next bar, where one compares. */
export const switchAt = signal<"now" | "bar">("now");

// What plays by itself is heard anew as soon as it is another value; another phrase comes when it is asked for.
let heard: Alone | null = null;
let heardBefore: Alone | null = null;
effect(() => {
  const now = material.value;
  if (now === null || now === heard) return;
  const phraseOf = (it: Alone) => it.routine.patterns[0];
  const another = heard !== null && phraseOf(heard)?.id !== phraseOf(now)?.id;
  const when = another ? comes.peek() : "now";
  heardBefore = heard;
  heard = now;
  const solo = withSounds();
  const words = phraseOf(now)?.name ?? phraseOf(now)?.id ?? "what is in hand";
  if (playing.peek() && playsAlone.peek() && solo !== null)
    next(solo, when === "now" ? switchAt.peek() : when, words);
});
/** What is to come is not wanted after all: what is heard goes on. */
export function stay(): void {
  keep();
  heard = heardBefore;
}
// Leaving the screen that plays by itself ends it.
let before = false;
effect(() => {
  const now = playsAlone.value;
  if (before && !now && playing.peek()) stop();
  before = now;
});
