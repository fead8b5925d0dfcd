import { describe, expect, it } from "vitest";
import { pattern } from "./notation.ts";
import { described, routine, section } from "./routines.ts";

const swell = pattern("F F B'90", "c c o c c", { id: "swell" });
const beat = { id: "three", step: "1/16", steps: 12, hits: [] };

describe("what describe --json says of placements", () => {
  it("counts the come-round from the placement's start, in the bar and with the beat", () => {
    const one = routine(
      [pattern("F B", "c o o", { id: "six" })],
      [section([{ pattern: "six", bar: 2, at: "1/8", lasts: { cycles: 3 } }], { beat: "three" })],
      { beats: [{ id: "three", step: "1/16", steps: 20, hits: [] }] },
    );
    expect(described(one).placements).toEqual([
      {
        section: "quay",
        placement: 0,
        comeRoundBars: 3,
        comeRoundRepeats: 8,
        repeatStarts: ["1/8", "1/2", "7/8", "1/4", "5/8", "0", "3/8", "3/4"],
        comeRoundWithBeatBars: 15,
        landing: { steps: "0" },
      },
    ]);
  });

  it("places a pickup's repeats in the bar of the section that owns it", () => {
    const one = routine(
      [swell],
      [
        section([], { bars: 1 }),
        section([{ pattern: "swell", bar: 0, at: "3/8", lasts: { steps: 4 } }], { id: "b", meter: "7/16" }),
      ],
    );
    const [placement] = described(one).placements;
    expect(placement).toMatchObject({
      section: "b",
      comeRoundBars: 15,
      comeRoundRepeats: 7,
      landing: { steps: "4" },
    });
    expect(placement?.repeatStarts).toEqual(["3/8", "0", "1/16", "1/8", "3/16", "1/4", "5/16"]);
  });

  it("tells what is left over in fractions of the record hand's step", () => {
    const one = routine(
      [pattern("F B", "o", { id: "six", recordStep: "1/12" })],
      [
        section(
          [
            { pattern: "six", bar: 1, lasts: { bars: 1 } },
            { pattern: "six", bar: 2, lasts: { steps: 3 } },
          ],
          { meter: "5/8" },
        ),
      ],
    );
    expect(described(one).placements.map(({ landing }) => landing.steps)).toEqual(["3/2", "3"]);
  });

  it("cuts the list of repeats after 1,000 and goes on counting", () => {
    const one = routine(
      [pattern("F1023", "o", { id: "slow", recordStep: "1/1024", faderStep: "1/1024" })],
      [section([{ pattern: "slow", bar: 1 }])],
    );
    const [placement] = described(one).placements;
    expect(placement).toMatchObject({ comeRoundBars: 1023, comeRoundRepeats: 1024 });
    expect(placement?.repeatStarts).toHaveLength(1000);
    expect(placement?.repeatStarts[1]).toBe("1023/1024");
  });

  it("leaves words out, and says null where a section has no beat", () => {
    const one = routine(
      [swell],
      [
        section([
          { words: "Step back", bar: 1, lasts: { bars: 1 } },
          { pattern: "swell", bar: 2 },
        ]),
        section([{ pattern: "swell", bar: 1 }], { id: "b", beat: "three" }),
      ],
      { beats: [beat] },
    );
    expect(
      described(one).placements.map(({ section: id, placement, comeRoundWithBeatBars }) => [
        id,
        placement,
        comeRoundWithBeatBars,
      ]),
    ).toEqual([
      ["quay", 1, null],
      ["b", 0, 15],
    ]);
  });

  it("says null for the drift of a released stroke", () => {
    expect(described(routine([pattern("R", "o")], [section([])])).patterns[0]).toEqual({
      id: "phrase",
      combinedSteps: "1",
      sounds: 1,
      mirrored: false,
      driftDegrees: null,
      names: [],
    });
  });
});
