/** The picture of what is heard, against what the openings and strokes say. */
import { describe, expect, it } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { HEARD_COLUMNS } from "../../schemas/sound.ts";
import { createCompiler } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { heardJob, heardPeaks } from "../../server/sound/heard.ts";
import { createHeard } from "../../server/sound/heardWorkers.ts";
import { pattern, routine, section, TONE } from "./playing.ts";

const script = new URL("../../dist/server/sound/heard.worker.js", import.meta.url);
const samples = new Map([
  ["voice", TONE],
  ["horn", TONE],
  ["vowel", TONE],
]);
const peaksOf = (of: Routine, index: number) =>
  heardPeaks(heardJob(of, createCompiler()(of), index, samples));
const STEP = HEARD_COLUMNS / 16;

describe("the picture of what is heard", () => {
  it("begins in the very column of the cut, is silent where the fader is shut, and ends soon after it closes", () => {
    const of = routine([pattern("p", "e16", "x4 o4 x8")], [section([{ pattern: "p", bar: 1 }])]);
    const peaks = peaksOf(of, 0);
    expect(peaks).toHaveLength(HEARD_COLUMNS);
    expect(peaks.findIndex((value) => value > 0)).toBe(4 * STEP);
    // Closing takes 1.5 ms, at this tempo less than half a column of 3.1.
    expect(peaks.findLastIndex((value) => value > 0)).toBe(8 * STEP);
    expect(peaks.subarray(4 * STEP, 8 * STEP).every((value) => value > 0)).toBe(true);
  });

  it("stands on the grid where swing bends the hands, and in the bar before where a pickup sounds", () => {
    const of = routine(
      [pattern("p", "e16", "x1 o1 x14"), pattern("q", "e4", "o")],
      [
        section([{ pattern: "p", bar: 1 }], { swing: { of: "1/16", hands: 66 } }),
        section([{ pattern: "q", bar: 0, at: "3/4", lasts: { cycles: 1 } }], { id: "two" }),
      ],
    );
    const peaks = peaksOf(of, 0);
    expect(peaks.findIndex((value) => value > 0)).toBe(STEP);
    expect(peaks.subarray(3 * STEP, 12 * STEP).every((value) => value === 0)).toBe(true);
    expect(peaks.subarray(12 * STEP, 16 * STEP).every((value) => value > 0)).toBe(true);
    expect(peaksOf(of, 1).every((value) => value === 0)).toBe(true);
  });

  it("holds every bar of every section of the demo, and no sound where no stroke is heard", () => {
    const performance = createCompiler()(DEMO);
    for (const [index, { performance: one }] of performance.sections.entries()) {
      const peaks = heardPeaks(heardJob(DEMO, performance, index, samples));
      expect(peaks).toHaveLength(DEMO.sections[index]!.bars * HEARD_COLUMNS);
      const heard = one.sounds.reduce((sum, { start, end }) => sum + end - start, 0) / one.length;
      const drawn = peaks.filter((value) => value > 0).length / peaks.length;
      // A pickup of the next section may add to it; closing fades add a little.
      expect(drawn).toBeGreaterThan(0.9 * heard);
      expect(drawn).toBeLessThan(1.2 * heard + 0.03);
    }
  });
});

describe("the thread that draws it", () => {
  it("draws what this thread would, and draws a section again only when something that it shows has changed", async () => {
    const compile = createCompiler();
    const heard = createHeard(script);
    const before = compile(DEMO);
    const first = heard(DEMO, before, 3, samples);
    expect(await first).toEqual(heardPeaks(heardJob(DEMO, before, 3, samples)));
    const elsewhere: Routine = {
      ...DEMO,
      sections: DEMO.sections.map((one, i) => (i === 0 ? { ...one, tempo: 80 } : one)),
    };
    expect(heard(elsewhere, compile(elsewhere), 3, samples)).toBe(first);
    const here: Routine = {
      ...DEMO,
      sections: DEMO.sections.map((one, i) => (i === 3 ? { ...one, pitch: 8 } : one)),
    };
    const again = heard(here, compile(here), 3, samples);
    expect(again).not.toBe(first);
    await again;
    expect(heard(DEMO, before, 3, new Map([["voice", TONE]]))).not.toBe(first);
  });
});
