/**
 * The warnings of a routine: it compiles, but the musician will want to know. Each is a sentence that says what,
 * where in musical words, and what to do; its place is a JSON Pointer.
 */
import {
  type HandFigure,
  type HandLimit,
  type JoinFacts,
  type PatternFacts,
  type PlacementFacts,
  type SectionFacts,
  wholeTempo,
} from "../../schemas/facts.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Problem } from "../../schemas/problem.ts";
import type { Pattern, PatternPlacement, Rig, Routine, Section } from "../../schemas/routine.ts";
import { fractionText } from "../../schemas/fraction.ts";
import { parseFraction } from "../time/fraction.ts";
import { pointer, problem } from "../routine/catalogue.ts";
import { limitsOf, patternsOf, sampleOf } from "../routine/lookups.ts";
import { combinedSteps, minus } from "./combined.ts";
import { patternFactsOf } from "./patternFacts.ts";
import { sectionFactsOf } from "./sectionFacts.ts";
import { atMost } from "./tolerance.ts";
import { called, plural } from "../routine/called.ts";
import { placeName, short, way } from "./words.ts";
import { Memory } from "../../schemas/memory.ts";

/** Every warning of a routine without errors, in the order of the file. */
export function warningsOf(routine: Routine, performance: Performance): Problem[] {
  const sections = sectionFactsOf(routine, performance);
  return warningsFrom(routine, performance, patternFactsOf(routine, sections), sections);
}

const LIMIT_WORDS: Readonly<Record<HandLimit, (value: string, allowed: string) => string>> = {
  clicks: (value, allowed) => `${value} clicks a second with one finger (your limit is ${allowed})`,
  splitClicks: (value, allowed) => `${value} clicks a second in a split cell (your limit is ${allowed})`,
  strokes: (value, allowed) => `${value} strokes a second (your limit is ${allowed})`,
  splitStrokes: (value, allowed) => `${value} strokes a second in a split stroke (your limit is ${allowed})`,
  closedMs: (value, allowed) => `a fader closed for only ${value} ms (your limit is ${allowed} ms)`,
  openMs: (value, allowed) => `a fader open for only ${value} ms (your limit is ${allowed} ms)`,
  speed: (value, allowed) => `the record at ${value} times platter speed (your limit is ${allowed})`,
};

function beyondLimits(where: string, place: string, over: readonly HandFigure[]): Problem {
  const needs = over.map(({ limit, value, allowed }) => LIMIT_WORDS[limit](short(value), short(allowed)));
  const tempo = wholeTempo(Math.min(...over.map(({ reachedAtTempo }) => reachedAtTempo)));
  return problem(
    "beyond-your-limits",
    place,
    `${where}: this needs ${needs.join(", and ")}. Slow down to ${tempo} quarter notes a minute, make the ` +
      "strokes or cells longer, or raise your limits.",
  );
}

function looseLanding(where: string, place: string, pattern: Pattern, facts: PlacementFacts): Problem {
  const { landing, repeats } = facts;
  const left = plural(landing.steps, "step");
  const missing = plural(fractionText(minus(combinedSteps(pattern), parseFraction(landing.steps))), "step");
  const name = called(pattern);
  return problem(
    "loose-landing",
    place,
    repeats === 0
      ? `${where}: ${name} is cut off ${left} into its first repeat. Lengthen it by ${missing} to land.`
      : `${where}: ${name} is cut off ${left} into a new repeat. Shorten it by ${left}, or lengthen it by ${missing}.`,
  );
}

function sampleRunsOut(where: string, place: string, sample: string, end: "start" | "end"): Problem {
  const instead = end === "start" ? "further into" : "nearer to the start of";
  return problem(
    "sample-runs-out",
    place,
    `${where}: the record runs past the ${end} of ${sample}, which does not repeat, so nothing is heard there. ` +
      `Start ${instead} the sample, close the drift, or let the sample repeat.`,
  );
}

function joinTooFast(where: string, place: string, rig: Rig | undefined, join: JoinFacts): Problem {
  const { seconds, moveDegrees, speed, sampleChanges } = join;
  const limits = limitsOf(rig);
  const time = seconds === 0 ? "no time" : `only ${short(seconds)} seconds`;
  const what =
    sampleChanges || moveDegrees === null
      ? `${time} to change the sample, which takes ${short(limits.changeSeconds)} seconds`
      : `${time} to bring the record ${way(moveDegrees)}` +
        (speed === null
          ? ""
          : `, ${short(speed)} times platter speed (your limit is ${short(limits.speed)})`);
  return problem(
    "join-too-fast",
    place,
    `${where}: there is ${what}. End the phrase before it earlier, start this one later, or start it where the ` +
      "record already stands.",
  );
}

/** Seconds as minutes and seconds: "3:05". */
const minutes = (seconds: number): string =>
  `${Math.floor(Math.round(seconds) / 60)}:${String(Math.round(seconds) % 60).padStart(2, "0")}`;

/** Warnings from what was worked out; nothing is worked out here. */
export function warningsFrom(
  routine: Routine,
  performance: Performance,
  patterns: readonly PatternFacts[],
  sections: readonly SectionFacts[],
): Problem[] {
  const { timeLimit } = routine;
  const warnings: Problem[] = [];
  if (timeLimit !== undefined && !atMost(performance.endSeconds, timeLimit)) {
    const over = short(performance.endSeconds - timeLimit);
    warnings.push(
      problem(
        "over-time",
        "/timeLimit",
        `The routine takes ${minutes(performance.endSeconds)} (minutes and seconds), ${over} seconds over its time ` +
          `limit of ${minutes(timeLimit)}. Shorten or drop a section, play faster, or raise the limit.`,
      ),
    );
  }
  for (const [index, { sounds }] of patterns.entries()) {
    if (sounds > 0) continue;
    const name = called(routine.patterns[index] as Pattern);
    warnings.push(
      problem(
        "silent-pattern",
        pointer("patterns", index),
        `${name}: it sounds nothing, since the record never moves while the fader is open. Open the fader over a ` +
          "stroke, or write words instead.",
      ),
    );
  }
  return [...warnings, ...sections.flatMap((facts, index) => sectionWarnings(routine, index, facts))];
}

/** What the warnings of a section were made from beside its facts: where it stands, and what things are called. */
interface Known {
  readonly index: number;
  readonly section: Section;
  readonly rig: Rig | undefined;
  readonly patterns: readonly Pattern[];
  readonly warnings: readonly Problem[];
}

const memory = new Memory<SectionFacts, Known>();

function sectionWarnings(routine: Routine, index: number, facts: SectionFacts): readonly Problem[] {
  const { rig, patterns } = routine;
  const section = routine.sections[index] as Section;
  const known = memory.get(facts);
  const asBefore =
    known?.index === index && known.section === section && known.rig === rig && known.patterns === patterns;
  if (asBefore) return known.warnings;
  const warnings: Problem[] = [];
  const joins = new Map(facts.joins.map((join) => [join.to.placement, join]));
  for (const one of facts.placements) {
    const join = joins.get(one.placement);
    const tooFast = join?.verdict === "beyond your limits" ? join : null;
    const over = one.hands.filter(({ within }) => !within);
    // Mostly nothing is to be said, and then it needs no words for where.
    if (tooFast === null && over.length === 0 && one.runsOut === null && one.landing.steps === "0") continue;
    const placement = section.placements[one.placement] as PatternPlacement;
    const where = placeName(section, placement);
    const place = pointer("sections", index, "placements", one.placement);
    if (tooFast !== null) warnings.push(joinTooFast(where, place, rig, tooFast));
    if (over.length > 0) warnings.push(beyondLimits(where, place, over));
    if (one.runsOut !== null) {
      const sample = called(sampleOf(rig, placement.sample));
      warnings.push(sampleRunsOut(where, place, sample, one.runsOut.end));
    }
    if (one.landing.steps !== "0") {
      warnings.push(looseLanding(where, place, patternsOf(routine).get(one.pattern) as Pattern, one));
    }
  }
  memory.set(facts, { index, section, rig, patterns, warnings });
  return warnings;
}
