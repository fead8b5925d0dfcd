/** The placement that is chosen, and edits of it. */
import { computed, signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import type { Pattern, Placement } from "../../schemas/routine.ts";
import { barUnits } from "../parts/music.ts";
import { opened, shown } from "../state/store.ts";

export interface Chosen {
  readonly section: string;
  readonly index: number;
}
export const chosen = signal<Chosen | null>(null);
/** Asks for focus on its name after the rows are drawn. */
export const chosenSection = signal<string | null>(null);

export interface ChosenPlacement extends Chosen {
  readonly placement: Placement;
  readonly pattern: Pattern | null;
  readonly bar: number;
  /** Where it lies, units from the section's start; null where an error keeps it out. */
  readonly span: { readonly start: number; readonly end: number } | null;
}

export function lookUp(one: Chosen | null, state = opened.value): ChosenPlacement | null {
  if (one === null || state === null) return null;
  const section = state.routine.sections.find(({ id }) => id === one.section);
  const placement = section?.placements[one.index];
  if (section === undefined || placement === undefined) return null;
  const placed = state.performances.get(one.section)?.placed.find((p) => p.placement === one.index);
  return {
    ...one,
    placement,
    pattern:
      "words" in placement
        ? null
        : (state.routine.patterns.find(({ id }) => id === placement.pattern) ?? null),
    bar: barUnits(section.meter),
    span: placed === undefined ? null : { start: placed.start, end: placed.end },
  };
}

export const chosenPlacement = computed(() => lookUp(chosen.value, opened.value));
export const shownPlacement = computed(() => lookUp(chosen.value, shown.value));

export const placementEdit = (one: ChosenPlacement, to: Placement): Edit => ({
  kind: "change-placements",
  changes: [{ placement: { section: one.section, index: one.index, expected: one.placement }, to }],
});
