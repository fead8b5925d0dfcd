/** Moving, cutting and reading in the Routine screen: pure, from wishes to what the file would hold. */
import { describe, expect, it } from "vitest";
import { barUnits, unitsOfText } from "../../client/parts/music.ts";
import { secondsInto } from "../../client/parts/seconds.ts";
import { leftOver, wayText } from "../../client/routine/filling.ts";
import { cutInTwo, wholeRounds } from "../../client/routine/moving.ts";
import type { Pattern } from "../../schemas/routine.ts";

/** Two strokes under three cells, sixteenths: six steps together. */
const SIX: Pattern = {
  id: "six",
  record: { step: "1/16", strokes: [{ move: "forward" }, { move: "back" }] },
  fader: { step: "1/16", cells: [{ fader: "click" }, { fader: "open" }, { fader: "open" }] },
};
const BAR = barUnits("4/4");
const STEP = unitsOfText("1/16");

describe("a phrase put in", () => {
  it("goes on until it comes round where there is room, else for whole repeats", () => {
    expect(wholeRounds(SIX, BAR, 8 * BAR)).toEqual({ cycles: 8 });
    expect(wholeRounds(SIX, BAR, BAR)).toEqual({ cycles: 2 });
    expect(wholeRounds(SIX, BAR, STEP)).toEqual({ cycles: 1 });
  });
});

describe("a gap that is filled", () => {
  it("has a rest that no number of phrases can fill, where all last multiples of a length that it does not", () => {
    // 6, 15 and 12 steps are multiples of 3, and 11 bars of 4/4 are 176 steps: 58 times 3 and 2.
    const lengths = [6, 15, 12].map((steps) => steps * STEP);
    expect(leftOver(11 * BAR, lengths)).toEqual({ unit: 3 * STEP, rest: 2 * STEP });
    expect(leftOver(12 * BAR, lengths)).toBeNull();
    // One of 4 steps beside one of 6 fills every even number of them from 4 on.
    expect(leftOver(11 * BAR, [4 * STEP, 6 * STEP])).toBeNull();
    expect(leftOver(2 * STEP, [6 * STEP])).toBeNull();
    expect(leftOver(BAR, [])).toBeNull();
  });
  it("is told run by run, so that a number in a name is no number of times", () => {
    const four = { ...SIX, id: "four", name: "4 under 4" };
    expect(wayText(["four", "four", "six", "four"], [SIX, four])).toBe("4 under 4, 2 times; six; 4 under 4");
  });
});

describe("a phrase cut in two", () => {
  const cut = (steps: number) =>
    cutInTwo(
      { pattern: "six", bar: 1, lasts: { cycles: 4 } },
      { start: 0, length: 24 * STEP, offset: steps * STEP, bar: BAR },
      SIX,
    );
  it("goes on in both hands where the first part stops", () => {
    expect(cut(6)).toEqual([
      { pattern: "six", bar: 1, lasts: { cycles: 1 } },
      { pattern: "six", bar: 1, at: "3/8", lasts: { cycles: 3 }, carriesOn: true },
    ]);
    expect(cut(17)).toEqual([
      { pattern: "six", bar: 1, lasts: { steps: 17 } },
      {
        pattern: "six",
        bar: 2,
        at: "1/16",
        lasts: { steps: 7 },
        recordFrom: 1,
        faderFrom: 2,
        carriesOn: true,
      },
    ]);
  });
  it("is left alone inside a stroke, at its ends and beyond them", () => {
    expect([0, 1.5, 24, 30].map(cut)).toEqual([null, null, null, null]);
  });
});

describe("the chart of the routine", () => {
  it("takes a ramp linear in beats: 93 to 97 over 32 quarters is 20.213512968 s", () => {
    expect(secondsInto({ from: 93, to: 97 }, 32, 32)).toBeCloseTo(20.213512968, 9);
    expect(secondsInto(120, 4, 4)).toBe(2);
  });
});
