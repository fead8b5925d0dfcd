import { expect, test } from "vitest";
import { bestTakes } from "../../client/rehearse/bestTake.ts";
import { type PracticeEntry, practiceKey } from "../../schemas/practice.ts";

const WHOLE = { kind: "whole" } as const;
const entry = (id: string, more: Partial<PracticeEntry>): PracticeEntry => ({
  id,
  at: "2026-03-01T18:20:05.000Z",
  of: WHOLE,
  seconds: 60,
  good: 1,
  bad: 0,
  reached: 92,
  failedAt: null,
  written: 92,
  strokes: 10,
  clicks: 20,
  score: { by: "recording", expected: 20, matched: 19, extra: 0, meanMs: 3, spreadMs: 9 },
  recording: id,
  ...more,
});
const best = (...all: PracticeEntry[]): string | undefined =>
  bestTakes(all).get(practiceKey(WHOLE))?.recording;
const score = (matched: number, spreadMs: number) =>
  ({ by: "recording", expected: 20, matched, extra: 0, meanMs: 0, spreadMs }) as const;

test("the best recording is the fastest good one, then the one that met most, then the steadiest", () => {
  const failed = entry("failed", { good: 0, bad: 1, reached: null, failedAt: 110, score: score(12, 4) });
  const slow = entry("slow", { reached: 70, score: score(20, 3) });
  const fast = entry("fast", {});
  const fuller = entry("fuller", { score: score(20, 12) });
  const steadier = entry("steadier", { score: score(20, 11) });
  const { recording: _, ...drill } = entry("drill", { reached: 120 });
  expect(best(failed)).toBe("failed");
  expect(best(failed, slow)).toBe("slow");
  expect(best(fast, slow, failed)).toBe("fast");
  expect(best(fast, fuller)).toBe("fuller");
  expect(best(steadier, fuller)).toBe("steadier");
  expect(best(slow, drill)).toBe("slow");
  expect(best(drill)).toBeUndefined();
});

test("a recording that was stopped before its end is never the best, however well its few sounds were met", () => {
  const few = { ...score(3, 1), expected: 3 };
  const stopped = entry("stopped", { good: 0, reached: null, score: few });
  const failed = entry("failed", { good: 0, bad: 1, reached: null, failedAt: 92, score: score(12, 4) });
  expect(best(stopped, failed)).toBe("failed");
  expect(best(failed, stopped)).toBe("failed");
  expect(best(stopped)).toBeUndefined();
});
