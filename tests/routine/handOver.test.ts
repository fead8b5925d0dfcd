/** What a section hands over to the next, when an edit changes it and nothing else. */
import { expect, test } from "vitest";
import type { Routine, Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { compile, createCompiler } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";

// A beat of three sixteenths over bars of sixteen: each bar that it goes on over shifts it by one.
const part = (id: string, beatContinues: boolean): Section => ({
  id,
  bars: 1,
  meter: "4/4",
  tempo: 90,
  beat: "three",
  beatContinues,
  placements: [],
});
const whole: Routine = {
  ...DEMO,
  beats: [{ id: "three", step: "1/16", steps: 3, hits: [{ key: 36, at: [0] }] }],
  sections: [part("first", false), part("second", true), part("third", true)],
};
const edited: Routine = {
  ...whole,
  sections: whole.sections.map((section) =>
    section.id === "second" ? { ...section, beatContinues: false } : section,
  ),
};

test("a beat that goes on from where the one before now leaves it is placed anew", () => {
  const compiler = createCompiler();
  compiler(whole);
  const phases = compiler(edited).sections.map(({ performance }) => performance.beatPhase);
  expect(phases).toEqual([0, 0, UNITS_PER_QUARTER / 4]);
  expect(compiler(whole)).toEqual(compile(whole));
});
