/** A run of the whole, as on the stage: the sections that were left after a slip, and how far it came. */
import { signal } from "@preact/signals";
import { heardNow } from "../audio/heardNow.ts";
import * as player from "../audio/player.ts";
import { opened } from "../state/shown.ts";
import { mode } from "./rounds.ts";

/** The one that is over: seconds of it that were heard, and the sections that were left. */
export const lastRun = signal<{ readonly seconds: number; readonly slips: readonly string[] } | null>(null);
let slips: string[] = [];

export function forgetRun(): void {
  lastRun.value = null;
  slips = [];
}

/** After a slip: the next section from its start, at the next bar. */
export function goOn(): void {
  const now = opened.value;
  const heard = heardNow();
  if (now === null || heard === null) return;
  const [left, next] = now.routine.sections.slice(heard.section);
  if (left === undefined || next === undefined || mode.value !== "run") return;
  slips.push(left.name ?? left.id);
  player.seek({ section: next.id, at: 0 }, "bar", next.name ?? next.id);
}

/** Of the whole at its written tempo; never 0. */
export const wholeSeconds = (): number => Math.max(1, opened.value?.performance.endSeconds ?? 1);

/** @param seconds of music that were heard */
export function endRun(seconds: number): void {
  lastRun.value = { seconds, slips };
}
