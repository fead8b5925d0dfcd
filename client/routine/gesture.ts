/** Placements dragged over the rows, by their names to move them, by an end to stretch it: live drafts, one edit. */
import { signal } from "@preact/signals";
import { hearDraft } from "../audio/transport.ts";
import { beatUnits } from "../parts/music.ts";
import { contentOf } from "../rows/content.ts";
import { positionAt, snap } from "../rows/geometry.ts";
import { rowMetrics } from "../rows/heard.ts";
import { GUTTER, handsHeight } from "../rows/metrics.ts";
import { type Stack, stacksNow } from "../rows/playhead.ts";
import type { Opened } from "../state/opened.ts";
import { draft, noDraft } from "../state/draft.ts";
import { opened } from "../state/shown.ts";
import { inTurn } from "../state/turn.ts";
import { openedAhead } from "./ahead.ts";
import { type Change, changesEdit, moved, stretched, together } from "./changes.ts";
import { chosenNow } from "./chosen.ts";
import type { Lying } from "./lying.ts";
import { lengthsOf } from "./moving.ts";
import { namesOf, settle } from "./settle.ts";

export type Gesture = "move" | "stretch";
/** A pointer is down on what is chosen. */
export const dragged = signal(false);
const WORDS = { move: "Move", stretch: "Stretch" } as const;

/** The grid a placement keeps to: the record hand's steps; with `fine` a quarter of one. Words keep to beats and bars. */
export function gridOf(state: Opened, one: Lying, gesture: Gesture, fine: boolean): number {
  if (one.pattern === null) {
    if (gesture === "stretch") return one.bar;
    const section = state.routine.sections.find(({ id }) => id === one.section);
    return beatUnits(section?.meter ?? "4/4");
  }
  const { step } = lengthsOf(one.pattern);
  return fine && gesture === "move" ? Math.max(1, Math.round(step / 4)) : step;
}

/** All of them by as much; null where one of them cannot. */
function changedBy(state: Opened, these: readonly Lying[], gesture: Gesture, by: number, grid: number) {
  const changes: Change[] = [];
  for (const one of these) {
    const change = gesture === "move" ? moved(state, one, by) : stretched(one, by, grid);
    if (change === null) return null;
    changes.push(change);
  }
  return changes;
}

/** What is chosen, by so many units, as it is now. */
function settleBy(gesture: Gesture, by: number, grid: number): void {
  const state = openedAhead.value;
  if (state === null) return;
  const changes = changedBy(state, chosenNow.value, gesture, by, grid);
  if (changes !== null) settle(changes, `${WORDS[gesture]} ${namesOf(state, chosenNow.value)}`);
}

/** By the keyboard: what is chosen, so many steps of the last one's grid, or bars; at once an edit. */
export function nudge(gesture: Gesture, by: number, unit: "step" | "fine" | "bar" = "step"): void {
  const state = openedAhead.value;
  const last = chosenNow.value.at(-1);
  if (state === null || last === undefined) return;
  const grid = unit === "bar" ? last.bar : gridOf(state, last, gesture, unit === "fine");
  settleBy(gesture, by * grid, grid);
}

/**
 * Starts with the pointer down on what is chosen; follows it until it is let go. Escape gives up.
 * @param clicked called where it was let go without having moved
 */
export function drag(event: PointerEvent, gesture: Gesture, clicked: () => void): void {
  const state = opened.value;
  const these = chosenNow.value;
  const last = these.at(-1);
  const began = placeUnder(event);
  if (state === null || last === undefined || began === null || event.button !== 0) return;
  dragged.value = true;
  let by = 0;
  let grid = 1;
  const move = (pointer: PointerEvent): void => {
    const at = placeUnder(pointer);
    if (at === null) return;
    grid = gridOf(state, last, gesture, pointer.altKey);
    const wanted = snap(at - began, grid);
    const changes = wanted === by ? null : changedBy(state, these, gesture, wanted, grid);
    if (changes === null) return;
    by = wanted;
    const edit = together([changesEdit(changes)], "");
    draft(edit);
    hearDraft(edit);
  };
  const end = (keep: boolean): void => {
    dragged.value = false;
    removeEventListener("pointermove", move);
    removeEventListener("pointerup", up);
    removeEventListener("pointercancel", cancel);
    removeEventListener("keydown", key, true);
    if (keep && by !== 0) {
      inTurn(() => settleBy(gesture, by, grid));
      return;
    }
    noDraft();
    hearDraft(null);
    if (keep) clicked();
  };
  const up = (): void => end(true);
  const cancel = (): void => end(false);
  const key = (pressed: KeyboardEvent): void => {
    if (pressed.key !== "Escape") return;
    pressed.stopPropagation();
    end(false);
  };
  addEventListener("pointermove", move);
  addEventListener("pointerup", up);
  addEventListener("pointercancel", cancel);
  addEventListener("keydown", key, true);
}

interface Pointer {
  readonly clientX: number;
  readonly clientY: number;
}

/** The rows that a pointer is over, or those that are nearest, and where it is in them. */
function under(pointer: Pointer) {
  let best: { distance: number; section: string; stack: Stack; box: DOMRect } | null = null;
  for (const [section, stack] of stacksNow()) {
    const box = stack.element.getBoundingClientRect();
    const height = stack.rowHeight * stack.count;
    const distance = Math.max(0, box.top - pointer.clientY, pointer.clientY - box.top - height);
    if (best === null || distance < best.distance) best = { distance, section, stack, box };
  }
  if (best === null) return null;
  const { stack, box, section } = best;
  return { section, stack, x: pointer.clientX - box.left - GUTTER, y: pointer.clientY - box.top };
}

/** Units from the routine's start under a pointer. */
export function placeUnder(pointer: Pointer): number | null {
  const state = opened.value;
  const here = under(pointer);
  if (state === null || here === null) return null;
  const { stack, x, y } = here;
  const index = state.routine.sections.findIndex(({ id }) => id === here.section);
  const timed = state.performance.sections[index];
  if (timed === undefined) return null;
  const position = positionAt(
    { x, y },
    { count: stack.count, height: stack.rowHeight, bar: stack.bar, width: stack.width },
  );
  return timed.start + position - stack.leadIn * stack.bar;
}

/** Whose tracks a pointer is over, of several; null over none. */
export function playerUnder(pointer: Pointer): number | null {
  const state = opened.value;
  const here = under(pointer);
  const index = state?.routine.sections.findIndex(({ id }) => id === here?.section) ?? -1;
  if (state === null || here === null || index < 0) return null;
  const { players } = contentOf(state.performance, index);
  const lane = Math.floor((here.y % here.stack.rowHeight) / handsHeight(rowMetrics.value));
  // Who is alone in the rows is no choice: another may just have been asked for.
  return players.length > 1 ? (players[lane] ?? null) : null;
}
