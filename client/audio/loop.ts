/** The loop that playing goes round: what the user wants of it, and its ends. */
import { signal } from "@preact/signals";
import type { LoopRange, Place } from "../../schemas/soundWire.ts";
import { barUnits } from "../parts/music.ts";
import { isRecorded } from "../recordings/taking.ts";
import { opened } from "../state/shown.ts";
import { playsAlone } from "./material.ts";
import { set } from "./player.ts";
import { playing } from "./playing.ts";

/** A loop, by what it goes over. */
export type Loop =
  | { readonly kind: "none" }
  | { readonly kind: "section"; readonly section: string }
  /** The last bars of the section before, and the first of this one. */
  | { readonly kind: "join"; readonly section: string }
  | { readonly kind: "bars"; readonly section: string; readonly from: number; readonly to: number };

export const loop = signal<Loop>({ kind: "none" });
/** Bars on each side of a join. */
export const JOIN_BARS = 2;

/** @returns the ends of the loop; null where there is none, or its section is not there any more */
export function loopRange(): LoopRange | null {
  const wanted = loop.value;
  if (wanted.kind === "none") return null;
  const sections = opened.value?.routine.sections ?? [];
  const index = sections.findIndex(({ id }) => id === wanted.section);
  const section = sections[index];
  if (section === undefined) return null;
  const bar = barUnits(section.meter);
  const here = (at: number): Place => ({ section: section.id, at });
  switch (wanted.kind) {
    case "section":
      return { from: here(0), to: here(section.bars * bar) };
    case "bars":
      return { from: here((wanted.from - 1) * bar), to: here(wanted.to * bar) };
    case "join": {
      const to = here(Math.min(section.bars, JOIN_BARS) * bar);
      const before = sections[index - 1];
      if (before === undefined) return { from: here(0), to };
      const bars = Math.min(before.bars, JOIN_BARS);
      return { from: { section: before.id, at: (before.bars - bars) * barUnits(before.meter) }, to };
    }
  }
}

export function setLoop(wanted: Loop): void {
  if (isRecorded()) return;
  loop.value = wanted;
  if (playing.value && !playsAlone.value) set({ loop: loopRange() });
}
