/** What is worked out about each section: its placements, and the joins that lead into them. */
import type { JoinFacts, PlacementFacts, SectionFacts } from "../../schemas/facts.ts";
import type { Performance, SectionPerformance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { clockOf } from "./clock.ts";
import { joinsOf } from "./joins.ts";
import { placementFacts } from "./placementFacts.ts";

interface Remembered {
  readonly placements: readonly PlacementFacts[];
  facts: SectionFacts;
}

/**
 * A section's performance is another object whenever anything that its placements use has changed: patterns, rig,
 * tempo, and for a pickup the sections in whose time it lies. So its identity is all that need be remembered.
 */
const memory = new WeakMap<SectionPerformance, Remembered>();

/** Of every section, in order. Sections that an edit did not touch are the same objects as before. */
export function sectionFactsOf(routine: Routine, performance: Performance): SectionFacts[] {
  const clock = clockOf(routine, performance);
  const joins: JoinFacts[][] = performance.sections.map(() => []);
  for (const { section, join } of joinsOf(routine, performance)) (joins[section] as JoinFacts[]).push(join);
  return performance.sections.map((timed, index) => {
    const here = joins[index] as JoinFacts[];
    const known = memory.get(timed.performance);
    if (known !== undefined && sameItems(known.facts.joins, here)) return known.facts;
    const placements = known?.placements ?? placementFacts(routine, index, timed, clock);
    const facts = { id: timed.performance.id, placements, joins: here };
    memory.set(timed.performance, { placements, facts });
    return facts;
  });
}

const sameItems = (a: readonly unknown[], b: readonly unknown[]): boolean =>
  a.length === b.length && a.every((item, index) => item === b[index]);
