/** A record let go, and stopped before its stroke's end. */
import { expect, test } from "vitest";
import { PackedSection, packSection } from "../../schemas/packed.ts";
import type { Routine } from "../../schemas/routine.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";

test("a falling ramp that would stand still before the stroke's full end leaves it the travel that it does", () => {
  const routine: Routine = {
    ...DEMO,
    rig: {},
    patterns: [
      {
        id: "adrift",
        record: { step: "1/4", strokes: [{ move: "forward", shape: "released", length: 16 }] },
        fader: { step: "1/4", cells: [{ fader: "open" }] },
      },
    ],
    sections: [
      {
        id: "ebb",
        bars: 1,
        meter: "4/4",
        tempo: { from: 120, to: 60 },
        placements: [{ pattern: "adrift", bar: 1, lasts: { bars: 1 } }],
      },
    ],
  };
  const { performance } = compile(routine).sections[0]!;
  // The integral of 60 / T over four quarters whose tempo falls from 120 to 60 is 4 ln 2 seconds; 33⅓ turns a minute
  // are 200 degrees a second.
  const degrees = 200 * 4 * Math.log(2);
  expect(performance.strokes).toHaveLength(1);
  const [stroke] = performance.strokes;
  expect(stroke!.to).toBeCloseTo(degrees, 9);
  expect(stroke!.fullTravel).toBe(stroke!.to);
  expect(stroke!.fullEnd).toBe(4 * stroke!.end);
  // Over the wire no number may be missing.
  expect(PackedSection.safeParse(JSON.parse(JSON.stringify(packSection(performance)))).success).toBe(true);
});
