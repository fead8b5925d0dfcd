/** Routines for tests: the parts that matter are given, the rest is as plain as can be. */
import type { Pattern, Placement, Routine, Section } from "../../schemas/routine.ts";
import { compile } from "../../server/routine/compile.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { describeJson } from "../../server/facts/describe.ts";

export const section = (placements: readonly Placement[], more: Partial<Section> = {}): Section => ({
  id: "quay",
  bars: 8,
  meter: "4/4",
  tempo: 120,
  placements,
  ...more,
});

/** @throws where the routine has errors, so that no test rests on a broken one. */
export function routine(
  patterns: readonly Pattern[],
  sections: readonly Section[],
  more: Partial<Routine> = {},
): Routine {
  const made = {
    format: "countercut-routine",
    version: 1,
    title: "Test",
    patterns,
    beats: [],
    sections,
    ...more,
  };
  const { routine: parsed, problems } = parseRoutine(JSON.stringify(made));
  if (parsed === null) throw new Error(JSON.stringify(problems));
  return parsed;
}

export const described = (one: Routine): ReturnType<typeof describeJson> => describeJson(one, compile(one));
