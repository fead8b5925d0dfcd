import fc from "fast-check";
import { expect, test } from "vitest";
import { fOf, pairs, scoreOf } from "../../client/rehearse/taps.ts";
import { holds } from "../reference/laws.ts";

/** The most pairs there can be, by trying all (augmenting paths). */
function most(expected: readonly number[], played: readonly number[], window: number): number {
  const of = new Map<number, number>();
  const give = (e: number, seen: Set<number>): boolean =>
    played.some((time, p) => {
      if (Math.abs(time - expected[e]!) > window || seen.has(p)) return false;
      seen.add(p);
      const holder = of.get(p);
      if (holder !== undefined && !give(holder, seen)) return false;
      of.set(p, e);
      return true;
    });
  return expected.filter((_, e) => give(e, new Set())).length;
}

const times = fc
  .array(fc.integer({ min: 0, max: 400 }), { maxLength: 30 })
  .map((all) => all.sort((a, b) => a - b));

test("as many taps are paired as can be, in order, each once, none outside the window", () => {
  holds("pairs", 300, fc.tuple(times, times), ([expected, played]) => {
    const found = pairs(expected, played, 12);
    expect(found).toHaveLength(most(expected, played, 12));
    for (const [index, [e, p]] of found.entries()) {
      expect(Math.abs(expected[e]! - played[p]!)).toBeLessThanOrEqual(12);
      if (index > 0) expect(e > found[index - 1]![0] && p > found[index - 1]![1]).toBe(true);
    }
  });
});

test("errors are said in milliseconds, late is positive, and the spread leaves the mean out", () => {
  const score = scoreOf([1, 2, 3, 4], [1.01, 2.03, 3.02, 3.7, 9]);
  expect(score).toMatchObject({ by: "taps", expected: 4, matched: 3, extra: 2 });
  expect(score.meanMs).toBeCloseTo(20, 9);
  expect(score.spreadMs).toBeCloseTo(Math.sqrt(200 / 3), 9);
  // 2·3 / (4 + 5)
  expect(fOf(score)).toBeCloseTo(6 / 9, 12);
  expect(scoreOf([], [])).toMatchObject({ meanMs: null, spreadMs: null });
  // One that is met lies neither apart nor together.
  expect(scoreOf([1, 2], [1.02])).toMatchObject({ matched: 1, spreadMs: null });
});
