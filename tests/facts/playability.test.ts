import { describe, expect, it } from "vitest";
import { compile } from "../../server/routine/compile.ts";
import { describe as describeRoutine } from "../../server/facts/describe.ts";
import type { Pattern, Rig, Sample, Section } from "../../schemas/routine.ts";
import { BUILT_IN_SECONDS } from "../../server/facts/runsOut.ts";
import { RATE } from "../../server/sound/rate.ts";
import { builtInSample } from "../../server/sound/samples.ts";
import { pattern } from "./notation.ts";
import { routine, section } from "./routines.ts";

/** The hardest moments of one placement, as text; at 120 a sixteenth takes an eighth of a second. */
function hands(phrase: Pattern, more: Partial<Section> = {}, rig: Rig = {}) {
  const one = routine([phrase], [section([{ pattern: phrase.id, bar: 1 }], more)], { rig });
  const facts = describeRoutine(one, compile(one));
  return {
    played: Object.fromEntries(
      (facts.sections[0]?.placements[0]?.hands ?? []).map(({ limit, value, within }) => [
        limit,
        [Number(value.toFixed(9)), within],
      ]),
    ),
    tempo: Object.fromEntries(
      (facts.patterns[0]?.reach ?? []).map(({ limit, reachedAtTempo }) => [
        limit,
        Number(reachedAtTempo.toFixed(9)),
      ]),
    ),
  };
}

describe("playability", () => {
  it("counts clicks and strokes a second, the shortest open and closed, and the greatest speed", () => {
    // A click every sixteenth, shut for a quarter of one; strokes of an eighth, 90 degrees, eased.
    const { played, tempo } = hands(pattern("F2'90 B2'90", "c"));
    expect(played).toEqual({
      clicks: [8, true],
      strokes: [4, true],
      closedMs: [31.25, true],
      openMs: [93.75, true],
      speed: [Number(((Math.PI / 2) * (90 / 0.25 / 200)).toFixed(9)), true],
    });
    expect(tempo).toEqual({
      clicks: 150,
      strokes: 240,
      closedMs: 187.5,
      openMs: 562.5,
      speed: Number(((120 * 6) / ((Math.PI / 2) * 1.8)).toFixed(9)),
    });
  });

  it("lets fingers take turns in a split cell, and the hand shake in a split stroke", () => {
    const { played } = hands(pattern("F4*8", "c*2 o"));
    expect(played).toMatchObject({
      splitClicks: [16, true],
      splitStrokes: [16, true],
      closedMs: [15.625, false],
    });
    expect(played.clicks).toBeUndefined();
    expect(played.strokes).toBeUndefined();
  });

  it("judges by the user's own limits, which are included", () => {
    expect(hands(pattern("F B", "o"), {}, { limits: { strokes: 8 } }).played.strokes).toEqual([8, true]);
    expect(hands(pattern("F B", "o"), {}, { limits: { strokes: 7.99 } }).played.strokes).toEqual([8, false]);
  });

  it("knows the hands' swing, a ramp and the pitch slider", () => {
    // The second of each pair of sixteenths has a quarter of an eighth note's quarter second.
    expect(hands(pattern("F B", "o"), { swing: { of: "1/16", hands: 75 } }).played.strokes).toEqual([
      16,
      false,
    ]);
    expect(hands(pattern("F1 B1", "o"), { tempo: { from: 60, to: 120 } }).played.strokes?.[0]).toBeCloseTo(
      8,
      1,
    );
    expect(hands(pattern("F2'90~", "o"), { pitch: -50 }).played.speed).toEqual([3.6, true]);
    expect(hands(pattern("R", "o"), { pitch: -50 }).played.speed).toEqual([1, true]);
  });
});

describe("a sample that does not repeat", () => {
  const runsOut = (
    phrase: Pattern,
    sample: { readonly [Key in keyof Sample]?: Sample[Key] | undefined },
    recordAt = 0,
  ) => {
    const one = routine(
      [phrase],
      [section([{ pattern: phrase.id, bar: 1, lasts: { cycles: 4 }, recordAt }])],
      {
        rig: { samples: [{ id: "horn", builtIn: "stab", repeatsEvery: 0, ...sample } as Sample] },
      },
    );
    return describeRoutine(one, compile(one)).sections[0]?.placements[0]?.runsOut;
  };
  const sixteenth = 302_702_400;

  it("runs out at its start where the record goes back past it, unless its cue lies further in", () => {
    expect(runsOut(pattern("F B'90", "o"), {})).toEqual({ at: sixteenth, end: "start" });
    expect(runsOut(pattern("F B'90", "o"), { cue: 1 })).toBeNull();
    expect(runsOut(pattern("F B'90", "o"), { repeatsEvery: 360 })).toBeNull();
  });

  it("runs out at its end after as many degrees as it has seconds of the platter", () => {
    // A file trimmed to half a second: 100 degrees.
    const trim = { builtIn: undefined, file: "horn.wav", trim: { from: 1, to: 1.5 } };
    expect(runsOut(pattern("F'30 B'5", "o"), trim)).toEqual({ at: 6 * sixteenth, end: "end" });
    expect(runsOut(pattern("F'25 F'25", "o"), trim)).toEqual({ at: 4 * sixteenth, end: "end" });
    expect(runsOut(pattern("F'50 B'50", "o"), trim, 50)).toBeNull();
  });

  it("runs out of a built-in sample where its sound ends, and of an unknown file nowhere", () => {
    expect(builtInSample("stab", 0).channels[0]?.length).toBe(BUILT_IN_SECONDS * RATE);
    expect(runsOut(pattern("F'180 F'180", "o"), {})).toEqual({ at: 2 * sixteenth, end: "end" });
    expect(runsOut(pattern("F'180 F'180", "o"), { builtIn: undefined, file: "horn.wav" })).toBeNull();
  });

  it("says nothing of what is not heard", () => {
    expect(runsOut(pattern("F B'90 F", "o x x"), {})).toBeNull();
  });
});
