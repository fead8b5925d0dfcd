/** Dragging a placement over the rows, by its name to move it, by its end to stretch it: live drafts, one edit. */
import type { Edit } from "../../schemas/edit.ts";
import { hearDraft } from "../audio/transport.ts";
import { unitsOfText } from "../parts/music.ts";
import { askWhether } from "../parts/Offers.tsx";
import { positionAt, snap } from "../rows/geometry.ts";
import { GUTTER } from "../rows/metrics.ts";
import { type Stack, stackOf } from "../rows/playhead.ts";
import { change, draft, keepDraft, noDraft, opened } from "../state/store.ts";
import { type ChosenPlacement, lookUp, placementEdit } from "./chosen.ts";
import { lengthsOf, movedTo, stretchedTo, untilNext } from "./moving.ts";
import { placementName } from "../rows/SectionRows.tsx";
import type { Placement } from "../../schemas/routine.ts";

export type Gesture = "move" | "stretch";

/** The grid a placement keeps to: the record hand's steps; with `fine` a quarter of one. Words keep to bars. */
export function gridOf(one: ChosenPlacement, gesture: Gesture, fine: boolean): number {
  if (one.pattern === null) return gesture === "stretch" ? one.bar : unitsOfText("1/16");
  const { step } = lengthsOf(one.pattern);
  return fine && gesture === "move" ? Math.max(1, Math.round(step / 4)) : step;
}

/** The placement moved or stretched by so many units; null where that cannot be. */
export function changedBy(
  one: ChosenPlacement,
  gesture: Gesture,
  by: number,
  grid: number,
): Placement | null {
  if (one.span === null) return null;
  const { start, end } = one.span;
  if (gesture === "move") return movedTo(one.placement, start + snap(by, grid), one.bar);
  return stretchedTo(one.placement, Math.max(grid, snap(end - start + by, grid)), one.bar, one.pattern);
}

const WORDS = { move: "Move", stretch: "Stretch" } as const;

const wordsFor = (one: ChosenPlacement, gesture: Gesture): string => {
  const state = opened.value;
  const owner = state?.routine.sections.findIndex(({ id }) => id === one.section) ?? -1;
  return `${WORDS[gesture]} ${state === null ? "" : placementName(state.routine, owner, one.index)}`;
};

/** Lets go: one edit; where it runs into a neighbour, the user is asked which one is to be shorter. */
export function settle(one: ChosenPlacement, to: Placement, gesture: Gesture): void {
  const edit = placementEdit(one, to);
  keepDraft(edit, wordsFor(one, gesture));
  hearDraft(null);
  const neighbour = overlapped(one, to);
  if (neighbour === null) return;
  const name = (it: ChosenPlacement): string => wordsFor(it, gesture).replace(/^\S+ /, "");
  const [earlier, later] =
    neighbour.first === "moved"
      ? [{ ...one, placement: to }, neighbour.other]
      : [neighbour.other, { ...one, placement: to }];
  askWhether(
    `${name(earlier)} now runs into ${name(later)}: two phrases for one pair of hands.`,
    {
      label: `Shorten ${name(earlier)} to end where ${name(later)} starts`,
      edit: placementEdit(earlier, untilNext(earlier.placement)),
      words: `Shorten ${name(earlier)}`,
    },
    {
      label: "Put it back",
      edit: placementEdit({ ...one, placement: to }, one.placement),
      words: "Put it back",
    },
    { label: "Leave both", edit: null, words: "" },
  );
}

/** Another placement of the same player in the same section that the changed one overlaps, and which starts first. */
function overlapped(
  one: ChosenPlacement,
  to: Placement,
): { other: ChosenPlacement; first: "moved" | "other" } | null {
  const state = opened.value;
  if (state === null || one.span === null) return null;
  const start = (to.bar - 1) * one.bar + unitsOfText(to.at ?? "0");
  const lasts = to.lasts;
  if (lasts === undefined) return null;
  const lengths = one.pattern === null ? null : lengthsOf(one.pattern);
  const length =
    "bars" in lasts
      ? lasts.bars * one.bar
      : "cycles" in lasts
        ? lasts.cycles * (lengths?.combined ?? 0)
        : lasts.steps * (lengths?.step ?? 0);
  const section = state.routine.sections.find(({ id }) => id === one.section);
  for (const index of section?.placements.keys() ?? []) {
    if (index === one.index) continue;
    const other = lookUp({ section: one.section, index }, state);
    if (other === null || other.span === null) continue;
    if ((other.placement.player ?? 1) !== (to.player ?? 1)) continue;
    const until = other.placement.lasts === undefined && other.span.start < start ? start : other.span.end;
    if (other.span.start < start + length && until > start)
      return { other, first: start <= other.span.start ? "moved" : "other" };
  }
  return null;
}

/** By the keyboard: so many steps of the grid, at once an edit. */
export function nudge(one: ChosenPlacement | null, gesture: Gesture, steps: number, fine = false): void {
  if (one === null) return;
  const grid = gridOf(one, gesture, fine);
  const to = changedBy(one, gesture, steps * grid, grid);
  if (to !== null) settle(one, to, gesture);
}

/** Starts with the pointer down; follows it until it is let go. Escape gives up. */
export function drag(event: PointerEvent, one: ChosenPlacement, gesture: Gesture, stackId: string): void {
  const stack = stackOf(stackId);
  if (stack === undefined || event.button !== 0) return;
  const at = (pointer: PointerEvent): number => under(pointer, stack);
  const began = at(event);
  let latest: { to: Placement; edit: Edit } | null = null;
  const move = (pointer: PointerEvent): void => {
    const to = changedBy(one, gesture, at(pointer) - began, gridOf(one, gesture, pointer.altKey));
    if (to === null || JSON.stringify(to) === JSON.stringify(latest?.to ?? one.placement)) return;
    latest = { to, edit: placementEdit(one, to) };
    draft(latest.edit);
    hearDraft(latest.edit);
  };
  const end = (keep: boolean): void => {
    removeEventListener("pointermove", move);
    removeEventListener("pointerup", up);
    removeEventListener("pointercancel", cancel);
    removeEventListener("keydown", key, true);
    if (keep && latest !== null && JSON.stringify(latest.to) !== JSON.stringify(one.placement))
      settle(one, latest.to, gesture);
    else {
      noDraft();
      hearDraft(null);
    }
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

/** Units from the section's start under a pointer. */
function under(pointer: { clientX: number; clientY: number }, stack: Stack): number {
  const box = stack.element.getBoundingClientRect();
  const position = positionAt(
    { x: pointer.clientX - box.left - GUTTER, y: pointer.clientY - box.top },
    { count: stack.count, height: stack.rowHeight, bar: stack.bar, width: stack.width },
  );
  return position - stack.leadIn * stack.bar;
}

export const remove = (one: ChosenPlacement): void =>
  change(
    {
      kind: "remove-placements",
      placements: [{ section: one.section, index: one.index, expected: one.placement }],
    },
    wordsFor(one, "move").replace("Move", "Remove"),
  );
