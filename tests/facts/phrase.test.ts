import { describe, expect, it } from "vitest";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { combinedSteps } from "../../server/facts/combined.ts";
import { comeRound } from "../../server/facts/comeRound.ts";
import { driftDegrees } from "../../server/facts/drift.ts";
import { isMirrored } from "../../server/facts/mirror.ts";
import { countSounds, listSounds, phraseOf } from "../../server/facts/phrase.ts";
import { combinedUnits } from "../../server/routine/layout.ts";
import { fractionText } from "../../schemas/fraction.ts";
import { pattern } from "./notation.ts";

/** Examples that were worked out by hand: sixteenths, 4/4. */
const EXAMPLES = [
  ["F B", "c o o", "6", 6, true, 0, 8, 3],
  ["F F B", "c c o c c", "15", 15, false, 45, 16, 15],
  ["F B B H", "c o o x c", "20", 12, false, -45, 4, 5],
  ["F F B B", "c o x", "12", 8, true, 0, 4, 3],
  ["F B", "c c o c o o x o o", "18", 16, true, 0, 8, 9],
  ["F F B F B", "c c c x", "20", 15, false, 45, 4, 5],
  ["F B F F B B", "c c o o o", "30", 30, false, 0, 8, 15],
  ["F F F B", "c c c c c c o", "28", 28, false, 90, 4, 7],
] as const;

describe("a phrase by itself", () => {
  it.each(EXAMPLES)(
    "%s under %s combines to %s steps with %i sounds, mirrored %s, drift %i, %i repeats in %i bars",
    (strokes, cells, steps, sounds, mirrored, drift, repeats, bars) => {
      const phrase = pattern(strokes, cells);
      expect(fractionText(combinedSteps(phrase))).toBe(steps);
      expect(countSounds(phraseOf(phrase))).toBe(BigInt(sounds));
      expect(listSounds(phrase, 1000)).toHaveLength(sounds);
      expect(isMirrored(phrase)).toBe(mirrored);
      expect(driftDegrees(phrase)).toBe(drift);
      const round = comeRound(0, UNITS_PER_WHOLE, combinedUnits(phrase), null);
      expect(round).toMatchObject({ repeats, bars, withBeatBars: null });
      expect(round.repeatStarts).toHaveLength(repeats);
    },
  );

  it("shuts its last cells for the first click of the next round", () => {
    // A click and an open cell under one forward of two steps: shut for the last quarter of a step of every round.
    expect(listSounds(pattern("F2", "c o"), 9)).toEqual([
      { start: 0, end: (UNITS_PER_WHOLE / 16) * 2 - UNITS_PER_WHOLE / 64, direction: "forward" },
    ]);
  });

  it("is counted and judged at once where it would take ages to list", () => {
    const endless = pattern("F1000001 B1000001", "c999983 x1", { recordStep: "1/13", faderStep: "1/11" });
    expect(listSounds(endless, 1_000_000)).toBeNull();
    // Cycles of 2000002/13 and 999984/11 whole notes: lcm(2000002, 999984) whole notes, 13 steps each.
    expect(fractionText(combinedSteps(endless))).toBe(String(1000001n * 999984n * 13n));
    // Half a record cycle onwards is 11,000,011 hundred-and-forty-thirds, which no round of the fader comes to: the
    // two cycles share a factor 2. With 11,000,000 one does: they share 16.
    expect(isMirrored(endless)).toBe(false);
    const even = pattern("F1000000 B1000000", "c999983 x1", { recordStep: "1/13", faderStep: "1/11" });
    expect(isMirrored(even)).toBe(true);
  });
});
