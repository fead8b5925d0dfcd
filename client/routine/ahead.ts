/**
 * The open routine as gestures find it. With a connection each waits for the one before it; without one it is made on
 * what waits: placements as they will be, lying where they will, as far as that can be told without the server.
 */
import { computed } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import type { TimedSection } from "../../schemas/performance.ts";
import type { Pattern, Placement, Section } from "../../schemas/routine.ts";
import { barUnits, unitsOfText } from "../parts/music.ts";
import { link } from "../state/connection.ts";
import type { Opened } from "../state/opened.ts";
import { ahead } from "../state/resting.ts";
import { opened } from "../state/shown.ts";
import { editsHere } from "../state/waiting.ts";
import { type Address, layOut, type Lying, lyingIn } from "./lying.ts";
import { saidLength } from "./moving.ts";

export const openedAhead = computed((): Opened | null => {
  const now = opened.value;
  if (now === null || link.value === "open") return now;
  const edits = editsHere();
  return edits.length === 0 ? now : stateAhead(now, edits);
});

/** @param waiting edits of it, in order */
export function stateAhead(now: Opened, waiting: readonly Edit[]): Opened {
  const then = new Map(ahead(now.routine, waiting).sections.map(({ id, placements }) => [id, placements]));
  const sections = now.routine.sections.map((section) => {
    const placements = then.get(section.id) ?? section.placements;
    return placements === section.placements ? section : { ...section, placements };
  });
  const state = { ...now, routine: { ...now.routine, sections } };
  const known = new Map([...lyingIn(now).values()].map((one) => [one.placement, one]));
  const patterns = new Map(now.routine.patterns.map((pattern) => [pattern.id, pattern]));
  const all = sections.flatMap((section, index) => {
    const timed = now.performance.sections[index];
    if (timed === undefined) return [];
    return section.placements.map((placement, at): Lying => {
      const here = { section: section.id, index: at };
      const before = known.get(placement);
      // What did not change lies where it did.
      return before !== undefined && before.section === section.id
        ? { ...before, ...here }
        : { ...here, ...lyingBySaying(placement, section, timed, patterns) };
    });
  });
  layOut(state, all);
  return state;
}

/** Where it lies by what it says of itself; without a length up to the next of its player, or its section's end. */
function lyingBySaying(
  placement: Placement,
  { meter, placements }: Section,
  timed: TimedSection,
  patterns: ReadonlyMap<string, Pattern>,
): Omit<Lying, keyof Address> {
  const bar = barUnits(meter);
  const startOf = (one: Placement): number => timed.start + (one.bar - 1) * bar + unitsOfText(one.at ?? "0");
  const { player = 1, lasts } = placement;
  const pattern = "words" in placement ? null : (patterns.get(placement.pattern) ?? null);
  const from = startOf(placement);
  const later = placements.filter((one) => (one.player ?? 1) === player && startOf(one) > from).map(startOf);
  const to = lasts === undefined ? Math.min(timed.end, ...later) : from + saidLength(lasts, bar, pattern);
  return { placement, pattern, player, bar, from, to };
}
