/** The spot: the place in the rows where the next thing is put. Set by a click on an empty place, moved by arrows. */
import { effect, signal } from "@preact/signals";
import { beatUnits } from "../parts/music.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/shown.ts";
import { lastChosen } from "./chosen.ts";
import { sectionAt } from "./lying.ts";

export interface Spot {
  readonly section: string;
  /** Units from the section's start; below 0 in the lead-in. */
  readonly at: number;
}
export const spot = signal<Spot | null>(null);
/** Whose hands are worked on: those of what was chosen last. */
export const player = signal(1);
effect(() => {
  if (lastChosen.value !== null) player.value = lastChosen.value.player;
});

/** Units from the routine's start; null where the section is gone. */
export function spotPlace(state: Opened | null, one = spot.value): number | null {
  const index = state?.routine.sections.findIndex(({ id }) => id === one?.section) ?? -1;
  const timed = state?.performance.sections[index];
  if (one === null || timed === undefined) return null;
  const at = timed.start + one.at;
  return at < timed.end ? at : null;
}

/** @param at units from the routine's start; null where no section is there */
export function spotAt(state: Opened, at: number): Spot | null {
  const index = sectionAt(state, at);
  const section = index === null ? undefined : state.routine.sections[index];
  const timed = index === null ? undefined : state.performance.sections[index];
  return section === undefined || timed === undefined ? null : { section: section.id, at: at - timed.start };
}
export function setSpotAt(state: Opened, at: number): void {
  spot.value = spotAt(state, at) ?? spot.value;
}

/** By so many beats of the metre, or bars; from the start of the routine where there was none. */
export function moveSpot(by: number, unit: "beat" | "bar"): void {
  const state = opened.value;
  const [first] = state?.routine.sections ?? [];
  if (state === null || first === undefined) return;
  const place = spotPlace(state);
  if (place === null) {
    spot.value = { section: first.id, at: 0 };
    return;
  }
  const index = sectionAt(state, place) ?? 0;
  const section = state.routine.sections[index] ?? first;
  const bar = state.performance.sections[index]?.performance.bar ?? 1;
  const last = state.performance.sections.at(-1);
  const grid = unit === "bar" ? bar : beatUnits(section.meter) / 4;
  const start = state.performance.sections[index]?.start ?? 0;
  const snapped = start + Math.round((place - start) / grid) * grid;
  const to = (unit === "bar" ? place : snapped) + by * grid;
  setSpotAt(state, Math.min(Math.max(0, to), (last?.end ?? 1) - grid));
}
