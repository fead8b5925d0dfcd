/** What is to be played, from where, how: the wishes of the user, and their actions. */
import { effect, signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import { FASTEST, type Place, SLOWEST } from "../../schemas/soundWire.ts";
import { barUnits } from "../parts/music.ts";
import { isRecorded } from "../recordings/taking.ts";
import { comes } from "../state/settings.ts";
import { opened, past } from "../state/shown.ts";
import { withCaution } from "./caution.ts";
import { loopRange, setLoop } from "./loop.ts";
import { playsAlone, withSounds } from "./material.ts";
import * as player from "./player.ts";
import { playing, underWay } from "./playing.ts";

/** 0.25 to 2. */
export const speed = signal(1);
export const countIn = signal(0);
export const clicks = signal({ beat: false, record: false, fader: false });
/** Where playing begins; null: the routine's start. */
export const from = signal<Place | null>(null);

export function play(): void {
  const routine = opened.value;
  if (routine === null) return;
  const solo = playsAlone.value ? withSounds() : null;
  const range = solo === null ? loopRange() : null;
  void player.start({
    // The routine as it is, or as the moment that is looked at was.
    material: solo ?? { kind: "open", name: routine.name, rev: past.value?.edit.rev },
    from: solo === null ? (range?.from ?? from.value) : null,
    loop: range,
    speed: speed.value,
    countIn: countIn.value,
    clicks: clicks.value,
  });
}
export function playOrStop(): void {
  if (underWay.value) player.stop();
  else withCaution(play);
}

function placeWords(id: string, at: number): string {
  const section = opened.value?.routine.sections.find((one) => one.id === id);
  if (section === undefined) return id;
  const bar = Math.floor(at / barUnits(section.meter)) + 1;
  return `${section.name ?? section.id}, ${bar >= 1 ? `bar ${bar}` : "lead-in"}`;
}

export function playFrom(section: string, at: number): void {
  if (isRecorded()) return;
  from.value = { section, at };
  const range = loopRange();
  const outside =
    range !== null && (range.from.section !== section || at < range.from.at || at >= range.to.at);
  if (outside) setLoop({ kind: "none" });
  if (playing.value && !playsAlone.value) player.seek({ section, at }, comes.value, placeWords(section, at));
  else if (!playing.value) withCaution(play);
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
