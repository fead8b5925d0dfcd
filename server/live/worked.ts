/**
 * A routine and all that is worked out about it. A routine with errors can still be shown, edited and heard: what an
 * error concerns is left out, the rest is compiled as if it were not there.
 */
import type { Facts } from "../../schemas/facts.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Problem } from "../../schemas/problem.ts";
import { isWords, type Placement, Routine, type Section } from "../../schemas/routine.ts";
import { describe } from "../facts/describe.ts";
import { checkRoutine } from "../routine/check.ts";
import { type Compiler, createCompiler } from "../routine/compile.ts";
import { parseRoutine } from "../routine/parse.ts";
import { tooMuchWithout } from "./tooMuch.ts";

export interface Worked {
  readonly routine: Routine;
  /** What is heard: the routine without patterns, beats and samples' names that have errors. */
  readonly sound: Routine;
  readonly performance: Performance;
  readonly facts: Facts;
  /** Errors, then warnings. */
  readonly problems: readonly Problem[];
  readonly errors: readonly Problem[];
  /** JSON Pointers of placements that are not compiled. */
  readonly leftOut: readonly string[];
}

/** It cannot be compiled at all. */
export interface NotWorked {
  readonly errors: readonly [Problem, ...Problem[]];
}

export const isWorked = (result: Worked | NotWorked | Pick<Worked, "routine" | "errors">): result is Worked =>
  "performance" in result;

/** @param errors those of the routine, where they are known already */
export type Worker = (routine: Routine, errors?: readonly Problem[]) => Worked | NotWorked;

/** Remembers sections between calls, so that an edit costs what it touches. */
export function createWorker(compile: Compiler = createCompiler()): Worker {
  return (routine, errors = checkRoutine(routine)) => {
    try {
      if (errors.length === 0) {
        const performance = compile(routine);
        const facts = describe(routine, performance);
        return { routine, sound: routine, performance, facts, problems: facts.warnings, errors, leftOut: [] };
      }
      const { sound, leftOut, without } = soundPart(routine, errors);
      if (tooMuchWithout(sound, without) !== null) throw new Error("what is left is too much");
      const performance = compile(sound, without);
      const facts = describe(sound, performance);
      return {
        routine,
        sound,
        performance,
        facts,
        problems: [...errors, ...facts.warnings],
        errors,
        leftOut,
      };
    } catch (bug) {
      // A metre that is none, a clock that overflows, or too much for pages. Without errors it is a bug.
      const [first, ...rest] = errors;
      if (first === undefined) throw bug;
      return { errors: [first, ...rest] };
    }
  };
}

/** Leaves out what errors concern. Placements keep their indices. */
function soundPart(routine: Routine, errors: readonly Problem[]) {
  const bad = { patterns: new Set<string>(), beats: new Set<string>() };
  const noBeat = new Set<number>();
  const silent = new Map<Placement, string>();
  for (const { place } of errors) {
    const [, list, index, inner, at] = place.split("/");
    if (list === "patterns") bad.patterns.add(routine.patterns[Number(index)]?.id ?? "");
    else if (list === "beats") bad.beats.add(routine.beats[Number(index)]?.id ?? "");
    else if (list === "sections" && inner === "beat") noBeat.add(Number(index));
    else if (list === "sections" && inner === "placements" && at !== undefined) {
      const placement = routine.sections[Number(index)]?.placements[Number(at)];
      if (placement !== undefined) silent.set(placement, `/sections/${index}/placements/${at}`);
    }
  }
  for (const [index, section] of routine.sections.entries()) {
    for (const [at, placement] of section.placements.entries()) {
      if (!isWords(placement) && bad.patterns.has(placement.pattern))
        silent.set(placement, `/sections/${index}/placements/${at}`);
    }
  }
  const silenced = (section: Section, index: number): Section => {
    if (!noBeat.has(index)) return section;
    const { beat: _, ...rest } = section;
    return rest;
  };
  const sound: Routine = {
    ...routine,
    patterns:
      bad.patterns.size === 0 ? routine.patterns : routine.patterns.filter(({ id }) => !bad.patterns.has(id)),
    beats: bad.beats.size === 0 ? routine.beats : routine.beats.filter(({ id }) => !bad.beats.has(id)),
    sections: noBeat.size === 0 ? routine.sections : routine.sections.map(silenced),
  };
  return { sound, leftOut: [...silent.values()], without: new Set(silent.keys()) };
}

/**
 * Reads a text whose shape is right, also where parts contradict each other: that is mended in the program.
 * Two things with one id cannot be told apart by edits, so such a file is refused.
 */
export function readForEditing(
  text: string,
): { readonly routine: Routine } | { readonly problems: readonly Problem[] } {
  const parsed = parseRoutine(text);
  if (parsed.routine !== null) return { routine: parsed.routine };
  const { problems } = parsed;
  if (problems.some(({ code }) => code === "not-json" || code === "unknown-field" || code === "duplicate-id"))
    return { problems };
  const shape = Routine.safeParse(JSON.parse(text.replace(/^\uFEFF/, "")));
  return shape.success ? { routine: shape.data as Routine } : { problems };
}
