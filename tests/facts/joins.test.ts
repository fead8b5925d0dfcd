import { describe, expect, it } from "vitest";
import type { Placement, Rig, Section } from "../../schemas/routine.ts";
import { shortestWay } from "../../server/facts/joins.ts";
import { pattern } from "./notation.ts";
import { described, routine, section } from "./routines.ts";

/** Four sixteenths that leave the record `drift` degrees further. */
const walking = (drift: number) => pattern(`F4'${drift}`, "o", { id: "walk" });

/** The joins of one section: at 120 a sixteenth takes an eighth of a second, a 4/4 bar two seconds. */
function joins(drift: number, placements: readonly Placement[], rig: Rig = {}, more: Partial<Section> = {}) {
  return described(routine([walking(drift)], [section(placements, more)], { rig })).joins;
}

const first: Placement = { pattern: "walk", bar: 1, lasts: { cycles: 1 } };

describe("a join", () => {
  it("has no speed where the next placement starts at once somewhere else, and is beyond the limits", () => {
    expect(joins(90, [first, { pattern: "walk", bar: 1, at: "1/4", lasts: { cycles: 1 } }])).toEqual([
      {
        from: { section: "quay", placement: 0 },
        to: { section: "quay", placement: 1 },
        seconds: 0,
        moveDegrees: -90,
        speed: null,
        faderOpen: true,
        sampleChanges: false,
        verdict: "beyond your limits",
      },
    ]);
  });

  it("flows up to 15 degrees, and where the placement carries on", () => {
    const next: Placement = { pattern: "walk", bar: 1, at: "1/4", lasts: { cycles: 1 } };
    expect(joins(15, [first, next])[0]).toMatchObject({ moveDegrees: -15, verdict: "flows" });
    expect(joins(15.1, [first, next])[0]).toMatchObject({ verdict: "beyond your limits" });
    expect(joins(90, [first, { ...next, carriesOn: true }])[0]).toMatchObject({
      moveDegrees: 0,
      verdict: "flows",
    });
    expect(joins(90, [first, next], { limits: { unheardDegrees: 90 } })[0]).toMatchObject({
      verdict: "flows",
    });
  });

  it("resets at the speed that the time between asks for, times the platter's with its pitch", () => {
    // A sixteenth of a bar: an eighth of a second for 90 degrees is 720 a second.
    const next: Placement = { pattern: "walk", bar: 1, at: "5/16", lasts: { cycles: 1 } };
    expect(joins(90, [first, next])[0]).toEqual({
      from: { section: "quay", placement: 0 },
      to: { section: "quay", placement: 1 },
      seconds: 0.125,
      moveDegrees: -90,
      speed: 3.6,
      faderOpen: false,
      sampleChanges: false,
      verdict: "reset",
    });
    expect(joins(90, [first, next], { platter: 45 })[0]?.speed).toBeCloseTo(720 / 270, 12);
    expect(joins(90, [first, next], {}, { pitch: -50 })[0]).toMatchObject({
      speed: 7.2,
      verdict: "beyond your limits",
    });
    expect(joins(90, [first, next], { limits: { speed: 3.6 } })[0]).toMatchObject({ verdict: "reset" });
  });

  it("takes the shortest way to the same sound, half a repeat forward", () => {
    expect(shortestWay(270, 0, 360)).toBe(90);
    expect(shortestWay(90, 0, 360)).toBe(-90);
    expect(shortestWay(180, 0, 360)).toBe(180);
    expect(shortestWay(0, 180, 360)).toBe(180);
    expect(shortestWay(180.00001, 0, 360)).toBe(180);
    expect(shortestWay(720, 0, 360)).toBe(0);
    expect(shortestWay(100, 30, 45)).toBe(20);
    expect(shortestWay(700, 30, 0)).toBe(-670);
  });

  it("takes two seconds whole for a change of sample, and none with a cue button", () => {
    const rig: Rig = {
      samples: [
        { id: "a", builtIn: "vowel" },
        { id: "b", builtIn: "stab" },
      ],
    };
    const at = (bar: number, arrives?: "cue"): Placement => ({
      pattern: "walk",
      bar,
      at: "1/4",
      sample: "b",
      lasts: { cycles: 1 },
      ...(arrives === undefined ? {} : { arrives }),
    });
    expect(joins(90, [first, at(2)], rig)[0]).toMatchObject({
      seconds: 2,
      moveDegrees: null,
      speed: null,
      sampleChanges: true,
      verdict: "reset",
    });
    expect(joins(90, [first, at(1)], rig)[0]).toMatchObject({ seconds: 0, verdict: "beyond your limits" });
    expect(joins(90, [first, at(1, "cue")], rig)[0]).toMatchObject({ moveDegrees: null, verdict: "flows" });
    const sameSample = [{ ...first, sample: "b" }, at(2, "cue")];
    expect(joins(90, sameSample, rig)[0]).toMatchObject({ moveDegrees: -90, speed: null, verdict: "flows" });
  });

  it("is judged for each player alone, and not across words", () => {
    expect(
      joins(90, [
        first,
        { pattern: "walk", bar: 2, player: 2, lasts: { cycles: 1 } },
        { words: "Step back", bar: 3, lasts: { bars: 1 } },
        { pattern: "walk", bar: 4, lasts: { cycles: 1 } },
        { pattern: "walk", bar: 5, player: 2, lasts: { cycles: 1 } },
      ]).map(({ from, to }) => [from.placement, to.placement]),
    ).toEqual([[1, 4]]);
  });

  it("bends its seconds by the hands' swing, and crosses sections in the time of each", () => {
    const next: Placement = { pattern: "walk", bar: 1, at: "5/16", lasts: { cycles: 1 } };
    const swing = { of: "1/16", hands: 75 };
    expect(joins(90, [first, next], {}, { swing })[0]?.seconds).toBeCloseTo(0.1875, 12);
    const crossing = routine(
      [walking(90)],
      [
        section([first], { bars: 1 }),
        section(
          [
            { pattern: "walk", bar: 0, at: "7/8", lasts: { steps: 2 } },
            { ...first, bar: 2 },
          ],
          {
            id: "open-water",
            tempo: 60,
            pitch: 50,
          },
        ),
      ],
    );
    const [pickup, inside] = described(crossing).joins;
    // From one quarter to seven eighths of the first bar: 2.5 quarters at 120, judged at the pitch of open water.
    expect(pickup).toMatchObject({ seconds: 1.25, moveDegrees: -90, speed: 90 / 1.25 / 300 });
    // From the bar line to the second bar: four quarters at 60. Half an eased stroke is half its travel.
    expect(inside).toMatchObject({
      seconds: 4,
      moveDegrees: -45,
      from: { section: "open-water", placement: 0 },
    });
  });
});
