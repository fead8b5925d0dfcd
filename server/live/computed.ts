/** What goes over the wire of a worked-out routine: all of it, or what differs between two. */
import { factsBetween } from "../../schemas/factsPatch.ts";
import { packSection } from "../../schemas/packed.ts";
import { otherItems, patchBetween, spliceBetween } from "../../schemas/patch.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Problem } from "../../schemas/problem.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { ServerMessage, Timing } from "../../schemas/wire.ts";
import { type SectionTimes, timesOf } from "../routine/times.ts";
import type { Worked } from "./worked.ts";

type Computed = Pick<
  ServerMessage<"changed">,
  "patch" | "timing" | "sections" | "sectionFacts" | "patternFacts" | "problems" | "leftOut"
>;
type Whole = Pick<
  ServerMessage<"routine">,
  "routine" | "timing" | "sections" | "sectionFacts" | "patternFacts" | "problems" | "leftOut"
>;

/** @param ids of the sections */
function timingOf(ids: string[], sections: readonly SectionTimes[], leadInBars: number): Timing {
  return {
    ids,
    start: sections.map(({ start }) => start),
    end: sections.map(({ end }) => end),
    startSeconds: sections.map(({ startSeconds }) => startSeconds),
    endSeconds: sections.map(({ endSeconds }) => endSeconds),
    leadInBars,
  };
}

function sameTiming(a: Performance, b: Performance): boolean {
  return (
    a.leadInBars === b.leadInBars &&
    a.sections.length === b.sections.length &&
    a.sections.every((one, index) => {
      const other = b.sections[index];
      return (
        other !== undefined &&
        one.performance.id === other.performance.id &&
        one.start === other.start &&
        one.end === other.end &&
        one.startSeconds === other.startSeconds &&
        one.endSeconds === other.endSeconds
      );
    })
  );
}

const sameProblem = (a: Problem, b: Problem): boolean =>
  a === b || (a.code === b.code && a.place === b.place && a.message === b.message);

const performancesOf = ({ performance }: Worked) =>
  performance.sections.map(({ performance: section }) => section);

export function computedBetween(from: Worked, to: Worked): Computed {
  const problems = spliceBetween(from.problems, to.problems, sameProblem);
  return {
    patch: patchBetween(from.routine, to.routine) as Computed["patch"],
    ...(sameTiming(from.performance, to.performance) ? {} : { timing: timingOfAll(to) }),
    sections: otherItems(performancesOf(from), performancesOf(to)).map(({ item }) => packSection(item)),
    sectionFacts: otherItems(from.facts.sections, to.facts.sections).map(({ before, item }) =>
      factsBetween(before, item),
    ),
    patternFacts: otherItems(from.facts.patterns, to.facts.patterns).map(({ item }) => item),
    problems: { ...problems, values: [...problems.values] },
    leftOut: [...to.leftOut],
  };
}

const timingOfAll = (worked: Worked): Timing =>
  timingOf(idsOf(worked), worked.performance.sections, worked.performance.leadInBars);

/** @param first how many sections come with their performance and facts; all where left out */
export function wholeOf(worked: Worked, first?: number): Whole {
  return {
    routine: worked.routine as Whole["routine"],
    timing: timingOfAll(worked),
    ...partOf(worked, first === undefined ? undefined : idsOf(worked).slice(0, first)),
    ...aboutAll(worked),
    leftOut: [...worked.leftOut],
  };
}

/** What needs all of a routine to be known. */
export const aboutAll = ({ facts, problems }: Worked): Pick<Whole, "patternFacts" | "problems"> => ({
  patternFacts: [...facts.patterns],
  problems: [...problems],
});

/**
 * As `wholeOf`, where only the beginning is worked out yet: warnings follow, since they need all of it.
 * @param routine all of it, without errors
 */
export function beginningOf(routine: Routine, begun: Worked, first: number): Whole {
  const { leadInBars } = begun.performance;
  const ids = routine.sections.map(({ id }) => id);
  return {
    routine: routine as Whole["routine"],
    timing: timingOf(ids, timesOf(routine, leadInBars), leadInBars),
    ...partOf(begun, idsOf(begun).slice(0, first)),
    patternFacts: [...begun.facts.patterns],
    problems: [],
    leftOut: [],
  };
}

/**
 * Sections that a page lacks which was told the `first` ones of `begun`, or that are otherwise in all of it: facts are
 * the same object only where the performance is.
 */
export function lackingAfter(begun: Worked, first: number, { facts }: Worked): string[] {
  const told = new Set(begun.facts.sections.slice(0, first));
  return facts.sections.filter((one) => !told.has(one)).map(({ id }) => id);
}

export const idsOf = ({ performance }: Worked): string[] =>
  performance.sections.map(({ performance: { id } }) => id);

/** Performance and facts of the sections named, those that are not there any more left out; of all without ids. */
export function partOf(worked: Worked, ids?: readonly string[]): Pick<Whole, "sections" | "sectionFacts"> {
  const wanted = ids === undefined ? null : new Set(ids);
  const named = ({ id }: { readonly id: string }): boolean => wanted?.has(id) ?? true;
  return {
    sections: performancesOf(worked).filter(named).map(packSection),
    sectionFacts: worked.facts.sections.filter(named),
  };
}
