import { expect, test } from "vitest";
import { csvOf } from "../../client/rehearse/practiceCsv.ts";
import type { PracticeEntry } from "../../schemas/practice.ts";

/** RFC 4180: lines end in CR LF; fields with commas, quotes or line breaks stand in quotes, quotes in them twice. */
test("practice is written as comma-separated values", () => {
  const entry: PracticeEntry = {
    id: "12345678",
    at: "2026-03-01T18:20:05.000Z",
    of: { kind: "whole" },
    seconds: 60.5,
    good: 3,
    bad: 1,
    reached: 80,
    failedAt: null,
    written: 92,
    strokes: 10,
    clicks: 20,
    score: { by: "taps", expected: 11, matched: 9, extra: 2, meanMs: -3.5, spreadMs: 8 },
  };
  const [head, line, end] = csvOf([entry], () => 'Wake, then "Home"').split("\r\n");
  expect(head!.split(",")).toHaveLength(18);
  expect(line).toBe(
    '2026-03-01T18:20:05.000Z,whole,"Wake, then ""Home""",60.5,3,1,80,,92,10,20,11,9,2,-3.5,8,,',
  );
  expect(end).toBe("");
});
