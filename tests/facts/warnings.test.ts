import { describe, expect, it } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { warningsOf } from "../../server/facts/warnings.ts";
import { compile } from "../../server/routine/compile.ts";
import { pattern } from "./notation.ts";
import { routine, section } from "./routines.ts";

const warned = (one: Routine) =>
  warningsOf(one, compile(one)).map(({ code, severity, place, message }) => [
    `${severity} ${code}`,
    place,
    message,
  ]);
const walk = pattern("F2'90 B2'30", "o", { id: "walk", name: "Walk" });

describe("warnings", () => {
  it("says nothing of a routine that hands can play and that lands", () => {
    expect(warned(routine([walk], [section([{ pattern: "walk", bar: 1, lasts: { cycles: 4 } }])]))).toEqual(
      [],
    );
  });

  it("names a pattern that sounds nothing", () => {
    expect(warned(routine([walk, pattern("F B", "x")], [section([])]))).toEqual([
      [
        "warning silent-pattern",
        "/patterns/1",
        "phrase: it sounds nothing, since the record never moves while the fader is open. Open the fader over a stroke, or write words instead.",
      ],
    ]);
  });

  it("says how long the routine is over its time limit, which is included", () => {
    // Eight bars of 4/4 at 120 take 16 seconds.
    expect(warned(routine([walk], [section([])], { timeLimit: 16 }))).toEqual([]);
    expect(warned(routine([walk], [section([])], { timeLimit: 12.5 }))).toEqual([
      [
        "warning over-time",
        "/timeLimit",
        "The routine takes 0:16 (minutes and seconds), 3.5 seconds over its time limit of 0:13. Shorten or drop a section, play faster, or raise the limit.",
      ],
    ]);
  });

  it("tells of a join, of limits, of a sample's end and of a landing, each at its placement", () => {
    const one = routine(
      [walk, pattern("F B", "c", { id: "quick", recordStep: "1/32", faderStep: "1/64" })],
      [
        section([
          { pattern: "walk", bar: 1, lasts: { cycles: 2 } },
          { pattern: "walk", bar: 1, at: "1/2", lasts: { steps: 6 } },
          { pattern: "quick", bar: 3, lasts: { cycles: 1 }, carriesOn: false, recordAt: -400 },
        ]),
      ],
      { rig: { samples: [{ id: "horn", name: "Horn", builtIn: "stab", repeatsEvery: 0 }] } },
    );
    expect(warned(one)).toEqual([
      [
        "warning join-too-fast",
        "/sections/0/placements/1",
        "quay, bar 1: there is no time to bring the record 4 clock hours (120 degrees) back. End the phrase before it earlier, start this one later, or start it where the record already stands.",
      ],
      [
        "warning loose-landing",
        "/sections/0/placements/1",
        "quay, bar 1: Walk is cut off 2 steps into a new repeat. Shorten it by 2 steps, or lengthen it by 2 steps.",
      ],
      [
        "warning beyond-your-limits",
        "/sections/0/placements/2",
        "quay, bar 3: this needs 32 clicks a second with one finger (your limit is 10), and 16 strokes a second (your limit is 8), and a fader closed for only 7.81 ms (your limit is 20 ms). Slow down to 37 quarter notes a minute, make the strokes or cells longer, or raise your limits.",
      ],
      [
        "warning sample-runs-out",
        "/sections/0/placements/2",
        "quay, bar 3: the record runs past the start of Horn, which does not repeat, so nothing is heard there. Start further into the sample, close the drift, or let the sample repeat.",
      ],
    ]);
  });
});
