/** The page's own sums of time against the server's timeline, which all sound and every clip goes by. */
import { expect, test } from "vitest";
import { bend, placeAt, secondsAt } from "../../client/parts/seconds.ts";
import { unitsOfText } from "../../client/parts/music.ts";
import type { Opened } from "../../client/state/opened.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { timelineOf } from "../../server/time/timeline.ts";

// The demo has ramps and swing.
const performance = compile(DEMO);
const timeline = timelineOf(DEMO.sections, performance.sections);
const opened = { routine: DEMO, performance } as unknown as Opened;
const THIRD = unitsOfText("1/12");

test("a place is as many seconds from the start as the server says, through ramps and swing, and comes back", () => {
  expect(DEMO.sections.some(({ tempo }) => typeof tempo !== "number")).toBe(true);
  expect(DEMO.sections.some(({ swing }) => (swing?.hands ?? 50) !== 50)).toBe(true);
  for (const [index, { start, performance: own }] of performance.sections.entries()) {
    const swing = DEMO.sections[index]?.swing;
    const pair = swing === undefined ? 0 : 2 * unitsOfText(swing.of);
    for (let at = 0; at < own.length; at += THIRD) {
      const seconds = secondsAt(opened, start + at);
      expect(seconds).toBeCloseTo(timeline.secondsAt(start + at, "straight"), 9);
      const bent = bend(at, pair, swing?.hands ?? 50, own.length);
      expect(secondsAt(opened, start + bent)).toBeCloseTo(timeline.secondsAt(start + at, "hands"), 9);
      const place = placeAt(opened, seconds + 1e-9);
      expect(place.section).toBe(index);
      expect(Math.abs(place.at - at) / THIRD).toBeLessThan(1e-6);
    }
  }
});
