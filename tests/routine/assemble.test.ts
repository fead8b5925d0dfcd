/** What is put together of one phrase alone is not laid out a second time. */
import { expect, test } from "vitest";
import { UNITS_PER_WHOLE, units } from "../../schemas/units.ts";
import { assemble } from "../../server/routine/assemble.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { createCompiler } from "../../server/routine/compile.ts";
import type { Compiled } from "../../server/routine/home.ts";

const section = {
  id: "cast-off",
  length: UNITS_PER_WHOLE,
  bar: UNITS_PER_WHOLE,
  beat: [],
  beatLength: units(0),
  beatPhase: units(0),
};
const { performance } = createCompiler()(DEMO).sections[0]!;
const [first, second] = performance.placed;
/** A placement with the strokes, openings and sounds of its own. */
const compiled = (placed: (typeof performance.placed)[number]): Compiled => {
  const own = <Event extends { readonly placement: number }>(events: readonly Event[]): readonly Event[] =>
    events.filter(({ placement }) => placement === placed.placement);
  const { strokes, openings, sounds } = performance;
  const events = { strokes: own(strokes), openings: own(openings), sounds: own(sounds) };
  return { of: DEMO.sections[0]!.placements[placed.placement]!, placed, made: { events } } as Compiled;
};

test("one phrase is taken as it is; of several all stand in order of time", () => {
  const one = compiled(first!);
  const alone = assemble([one], section);
  for (const key of ["strokes", "openings", "sounds"] as const) {
    expect(alone[key].length).toBeGreaterThan(0);
    expect(alone[key]).toBe(one.made?.events[key]);
  }
  const other = compiled(second!);
  const both = assemble([other, one], section);
  expect(both.strokes).toEqual([...one.made!.events.strokes, ...other.made!.events.strokes]);
});
