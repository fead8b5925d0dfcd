/** Up to where a recording is judged that was stopped before its end. */
import { expect, test } from "vitest";
import { stoppedRange } from "../../client/recordings/reached.ts";
import type { Opened } from "../../client/state/opened.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { timelineOf } from "../../server/time/timeline.ts";

const performance = compile(DEMO);
const timeline = timelineOf(DEMO.sections, performance.sections);
const opened = { routine: DEMO, performance } as unknown as Opened;
const [first, second] = performance.sections as [
  (typeof performance.sections)[number],
  (typeof performance.sections)[number],
];
const range = {
  from: { section: first.performance.id, at: 0 },
  to: { section: second.performance.id, at: second.performance.length },
};
const seconds = (at: number): number =>
  timeline.secondsAt(at, "straight") - timeline.secondsAt(first.start, "straight");
const SPEED = 0.8;
const whole = seconds(second.end) / SPEED;
const stopped = (heard: number, kept = heard) => stoppedRange(opened, range, SPEED, heard, kept);

test("what was stopped ends where the music was, and sooner where the sound comes in later", () => {
  const at = Math.round(second.performance.length / 3);
  const heard = seconds(second.start + at) / SPEED;
  expect(stopped(heard)).toEqual({ from: range.from, to: { section: second.performance.id, at } });
  const later = stopped(heard, heard - 0.1)!.to;
  expect(later.section).toBe(second.performance.id);
  expect((heard - seconds(second.start + later.at) / SPEED) * 1000).toBeCloseTo(100, 3);
  expect(stopped(0.5, -0.2)).toEqual({ from: range.from, to: range.from });
});

test("what was played to its end is whole, though the last of it was not heard yet when the play was over", () => {
  expect(stopped(whole)).toBeNull();
  expect(stopped(whole - 0.2)).toBeNull();
  expect(stopped(whole - 0.3)?.to.section).toBe(second.performance.id);
});
