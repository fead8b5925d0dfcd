/** What is to be played, from where, how: the wishes of the user, and their actions. */
import { computed, effect, signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import { FASTEST, type LoopRange, type Material, type Place, SLOWEST } from "../../schemas/soundWire.ts";
import { barUnits } from "../parts/music.ts";
import { cautionSeen, channelLevels, comes } from "../state/settings.ts";
import { recording } from "../recordings/taking.ts";
import { said } from "../state/said.ts";
import { opened, past } from "../state/shown.ts";
import { BUILT_IN, place, SAMPLES } from "../state/place.ts";
import { setLevels } from "./output.ts";
import * as player from "./player.ts";
import { playing, starting } from "./playing.ts";
import type { Levels } from "./workletMessages.ts";

/** A loop, by what it goes over. */
export type Loop =
  | { readonly kind: "none" }
  | { readonly kind: "section"; readonly section: string }
  /** The last bars of the section before, and the first of this one. */
  | { readonly kind: "join"; readonly section: string }
  | { readonly kind: "bars"; readonly section: string; readonly from: number; readonly to: number };

export const loop = signal<Loop>({ kind: "none" });
/** 0.25 to 2. */
export const speed = signal(1);
export const countIn = signal(0);
export const clicks = signal({ beat: false, record: false, fader: false });
/** Where playing begins; null: the routine's start. */
export const from = signal<Place | null>(null);
/** Bars on each side of a join. */
export const JOIN_BARS = 2;

export const muted = signal<ReadonlySet<keyof Levels>>(new Set());
export const alone = signal<keyof Levels | null>(null);
/** The channels that a drill lets be heard; null: all. */
export const heardChannels = signal<ReadonlySet<keyof Levels> | null>(null);
effect(() => {
  const heard = (channel: keyof Levels): number => {
    if (heardChannels.value?.has(channel) === false) return 0;
    if (alone.value !== null) return alone.value === channel ? channelLevels[channel].value : 0;
    return muted.value.has(channel) ? 0 : channelLevels[channel].value;
  };
  setLevels({
    hands: heard("hands"),
    others: heard("others"),
    beat: heard("beat"),
    clicks: heard("clicks"),
  });
});

/** A phrase or a beat by itself, in place of the routine: set by the screens that write. */
export const material = signal<Extract<Material, { kind: "alone" }> | null>(null);
export const playsAlone = computed(() => material.value !== null && place.value.screen === "write");
/** What plays by itself, in a word: by where one is on Write. */
export const aloneWord = computed(() => {
  const { of } = place.value;
  if (of === SAMPLES) return "Sample";
  return of === BUILT_IN || of.startsWith("beat ") ? "Beat" : "Phrase";
});

function sectionNamed(id: string) {
  const sections = opened.value?.routine.sections ?? [];
  const index = sections.findIndex((section) => section.id === id);
  return index < 0 ? null : { index, section: sections[index]!, before: sections[index - 1] };
}

/** @returns null where the loop's section is not there any more */
function rangeOf(wanted: Loop): LoopRange | null {
  if (wanted.kind === "none") return null;
  const found = sectionNamed(wanted.section);
  if (found === null) return null;
  const { section, before } = found;
  const bar = barUnits(section.meter);
  const here = (at: number): Place => ({ section: section.id, at });
  switch (wanted.kind) {
    case "section":
      return { from: here(0), to: here(section.bars * bar) };
    case "bars":
      return { from: here((wanted.from - 1) * bar), to: here(wanted.to * bar) };
    case "join": {
      const to = here(Math.min(section.bars, JOIN_BARS) * bar);
      if (before === undefined) return { from: here(0), to };
      const bars = Math.min(before.bars, JOIN_BARS);
      return { from: { section: before.id, at: (before.bars - bars) * barUnits(before.meter) }, to };
    }
  }
}

/** What plays by itself plays the sounds of the routine that it is from. */
function byItself(): typeof material.value {
  const now = material.peek();
  return now === null ? null : { ...now, sounds: opened.peek()?.name };
}

/** The routine, as it is or as the moment that is looked at was. */
function openMaterial(name: string): Material {
  const moment = past.value?.edit;
  return moment === undefined ? { kind: "open", name } : { kind: "open", name, rev: moment.rev };
}

export function play(): void {
  const routine = opened.value;
  if (routine === null) return;
  const range = rangeOf(loop.value);
  const solo = playsAlone.value ? byItself() : null;
  void player.start({
    material: solo ?? openMaterial(routine.name),
    from: solo !== null ? null : (range?.from ?? from.value),
    loop: solo !== null ? null : range,
    speed: speed.value,
    countIn: countIn.value,
    clicks: clicks.value,
  });
}

/** Asks to hear the caution about loudness first, once. */
export const cautionDue = signal(false);
let afterCaution: () => void = play;
/** Does something that sounds, after the caution where that was not heard yet. */
export function withCaution(act: () => void): void {
  if (cautionSeen.value) {
    act();
    return;
  }
  afterCaution = act;
  cautionDue.value = true;
}
export function playOrStop(): void {
  if (playing.value || starting.value) player.stop();
  else withCaution(play);
}
export function heedCaution(): void {
  cautionSeen.value = true;
  cautionDue.value = false;
  afterCaution();
}

function placeWords(id: string, at: number): string {
  const section = sectionNamed(id)?.section;
  if (section === undefined) return id;
  const bar = Math.floor(at / barUnits(section.meter)) + 1;
  return `${section.name ?? section.id}, ${bar >= 1 ? `bar ${bar}` : "lead-in"}`;
}

/** What is recorded is judged by how it was begun: until it is over, it is played so. Says it where it is asked for. */
function isRecorded(): boolean {
  if (recording.value === "no") return false;
  said.value = "While you record, speed, loop and place stay as they are.";
  return true;
}

export function playFrom(section: string, at: number): void {
  if (isRecorded()) return;
  from.value = { section, at };
  const range = rangeOf(loop.value);
  const outside =
    range !== null && (range.from.section !== section || at < range.from.at || at >= range.to.at);
  if (outside) setLoop({ kind: "none" });
  if (playing.value && !playsAlone.value) player.seek({ section, at }, comes.value, placeWords(section, at));
  else if (!playing.value) withCaution(play);
}

export function setLoop(wanted: Loop): void {
  if (isRecorded()) return;
  loop.value = wanted;
  if (playing.value && !playsAlone.value) player.set({ loop: rangeOf(wanted) });
}
export function setSpeed(wanted: number): void {
  if (isRecorded()) return;
  speed.value = Math.min(FASTEST, Math.max(SLOWEST, Math.round(wanted * 100) / 100));
  if (playing.value) player.set({ speed: speed.value });
}
export function setClicks(wanted: typeof clicks.value): void {
  clicks.value = wanted;
  if (playing.value) player.set({ clicks: wanted });
}

/** Hear what is being dragged; null: as it is. */
export function hearDraft(edit: Edit | null): void {
  if (playing.value && !playsAlone.value) player.soundDraft(edit as Parameters<typeof player.soundDraft>[0]);
}

/** When what plays by itself gives way to another: at once, where one edits it; with the next bar, where one compares. */
export const switchAt = signal<"now" | "bar">("now");

// What plays by itself is heard anew as soon as it is another value; another phrase comes when it is asked for.
let heard: typeof material.value = null;
let heardBefore: typeof material.value = null;
effect(() => {
  const now = material.value;
  if (now === null || now === heard) return;
  const phraseOf = (it: typeof now) => it.routine.patterns[0];
  const another = heard !== null && phraseOf(heard)?.id !== phraseOf(now)?.id;
  const when = another ? comes.peek() : "now";
  heardBefore = heard;
  heard = now;
  const solo = byItself();
  const words = phraseOf(now)?.name ?? phraseOf(now)?.id ?? "what is in hand";
  if (playing.peek() && playsAlone.peek() && solo !== null)
    player.next(solo, when === "now" ? switchAt.peek() : when, words);
});
/** What is to come is not wanted after all: what is heard goes on. */
export function stay(): void {
  player.keep();
  heard = heardBefore;
}
// Where the sound broke off, the next play goes on.
player.whenBroken((place) => {
  const section = opened.peek()?.routine.sections[place?.section ?? -1];
  if (place !== null && section !== undefined && !playsAlone.peek())
    from.value = { section: section.id, at: Math.max(0, Math.round(place.at)) };
});
// What is heard is what is seen: going to another moment, or back to the present, ends a play.
let moment: number | undefined;
effect(() => {
  const now = past.value?.edit.rev;
  if (now !== moment && playing.peek()) player.stop();
  moment = now;
});
// Leaving the screen that plays by itself ends it.
let before = false;
effect(() => {
  const now = playsAlone.value;
  if (before && !now && playing.peek()) player.stop();
  before = now;
});
