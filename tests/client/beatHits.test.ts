import { describe, expect, it } from "vitest";
import { changedTo, hitsOf, lineOf, strikesOf, toggled, withLine } from "../../client/write/beatHits.ts";
import { BUILT_IN_BEATS } from "../../schemas/builtInBeats.ts";
import { Beat } from "../../schemas/routine.ts";
import { checkRoutine } from "../../server/routine/check.ts";
import { aloneBeat } from "../../client/write/BuiltInBeats.tsx";
import { unitsOfText } from "../../client/parts/music.ts";

const hits = [
  { key: 36, at: [0, 8] },
  { key: 38, at: [4, 12], velocity: 90 },
];

describe("the hits of a beat", () => {
  it("come and go where one clicks, and keep the others' strength", () => {
    expect(toggled(hits, 36, 4)).toEqual([{ key: 36, at: [0, 4, 8] }, hits[1]]);
    expect(toggled(hits, 38, 12)).toEqual([hits[0], { key: 38, at: [4], velocity: 90 }]);
    expect(toggled(toggled(hits, 42, 2), 42, 2)).toEqual(hits);
  });

  it("move, and get stronger within 1 to 127", () => {
    const snare = { key: 38, at: 4, velocity: 90 };
    expect(changedTo(hits, snare, { ...snare, at: 5 })[1]).toEqual({ key: 38, at: [5, 12], velocity: 90 });
    expect(
      strikesOf(changedTo(hits, snare, { ...snare, velocity: 300 })).map(({ velocity }) => velocity),
    ).toContain(127);
    expect(strikesOf(changedTo(hits, snare, { ...snare, at: 12 }))).toHaveLength(3);
  });

  it("may be two of one drum on one step, of two strengths", () => {
    const two = withLine(hits, 38, "5:90 5:40", 16) as typeof hits;
    expect(lineOf(two, 38)).toBe("5:90 5:40");
    expect(withLine(two, 38, "5:40 5:90 5:40", 16)).toHaveLength(3);
    const soft = { key: 38, at: 4, velocity: 40 };
    expect(lineOf(changedTo(two, soft, { ...soft, velocity: 50 }), 38)).toBe("5:90 5:50");
    expect(lineOf(changedTo(two, soft, { ...soft, at: 6 }), 38)).toBe("5:90 7:40");
    expect(lineOf(toggled(two, 38, 4), 38)).toBe("");
  });

  it("are a line of steps, read and written", () => {
    expect(lineOf(hits, 38)).toBe("5:90 13:90");
    expect(withLine(hits, 38, "5:90, 13:90", 16)).toEqual(hits);
    expect(withLine(hits, 38, "", 16)).toEqual([hits[0]]);
    expect(withLine(hits, 38, "17", 16)).toHaveProperty(
      "trouble",
      "“17” is no step from 1 to 16. Write whole steps, parted by spaces.",
    );
    expect(withLine(hits, 38, "3:128", 16)).toHaveProperty("trouble");
    expect(hitsOf(strikesOf(hits))).toEqual(hits);
  });
});

describe("the built-in beats", () => {
  it("are at least eight, two not in 4/4, one longer than a bar, none called like another", () => {
    expect(BUILT_IN_BEATS.length).toBeGreaterThanOrEqual(8);
    expect(BUILT_IN_BEATS.filter(({ meter }) => meter !== "4/4").length).toBeGreaterThanOrEqual(2);
    const long = BUILT_IN_BEATS.filter(
      ({ beat, meter }) => unitsOfText(beat.step) * beat.steps > unitsOfText(meter),
    );
    expect(long.length).toBeGreaterThanOrEqual(1);
    expect(new Set(BUILT_IN_BEATS.map(({ beat }) => beat.name)).size).toBe(BUILT_IN_BEATS.length);
  });

  for (const one of BUILT_IN_BEATS)
    it(`${one.beat.name} fills whole bars and has no problem`, () => {
      expect(Beat.safeParse({ ...one.beat, id: "beat" }).success).toBe(true);
      expect((unitsOfText(one.beat.step) * one.beat.steps) % unitsOfText(one.meter)).toBe(0);
      expect(checkRoutine(aloneBeat(one, one.tempo))).toEqual([]);
    });
});
