/** What is worked out about each section: its placements, and the joins that lead into them. */
import type { JoinFacts, SectionFacts } from "../../schemas/facts.ts";
import type { Performance, SectionPerformance } from "../../schemas/performance.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import { sameItems } from "../../schemas/sameItems.ts";
import { clockOf } from "./clock.ts";
import { joinsOf } from "./joins.ts";
import { isWithin, placementFacts } from "./placementFacts.ts";
import { Memory } from "../../schemas/memory.ts";

/** What the facts of a section were made from, the last time. */
interface Remembered {
  readonly section: Section;
  readonly rig: Routine["rig"];
  readonly patterns: Routine["patterns"];
  /** No other section says when its placements are played. */
  readonly within: boolean;
  readonly facts: SectionFacts;
}

const memory = new Memory<SectionPerformance, Remembered>();

/** Of every section, in order. Sections that an edit did not touch are the same objects as before. */
export function sectionFactsOf(routine: Routine, performance: Performance): SectionFacts[] {
  const clock = clockOf(routine, performance);
  const joins: JoinFacts[][] = performance.sections.map(() => []);
  for (const { section, join } of joinsOf(routine, performance)) (joins[section] as JoinFacts[]).push(join);
  const { rig, patterns } = routine;
  return performance.sections.map((timed, index) => {
    const section = routine.sections[index] as Section;
    const known = memory.get(timed.performance);
    const untouched =
      known?.within === true && known.section === section && known.rig === rig && known.patterns === patterns;
    const placements = untouched ? known.facts.placements : placementFacts(routine, index, timed, clock);
    const own = joins[index] as JoinFacts[];
    const facts =
      known !== undefined &&
      sameItems(known.facts.placements, placements) &&
      sameItems(known.facts.joins, own)
        ? known.facts
        : { id: section.id, placements, joins: own };
    if (!untouched || facts !== known.facts) {
      memory.set(timed.performance, { section, rig, patterns, within: isWithin(timed.performance), facts });
    }
    return facts;
  });
}
