import fc from "fast-check";
import { expect, test } from "vitest";
import { holds } from "../reference/laws.ts";
import { compareTimes } from "../../server/recordings/compareTimes.ts";
import { match } from "../../server/recordings/match.ts";

/** The obvious version: every matching, by trying each reference with each played event or none. */
function obvious(reference: readonly number[], played: readonly number[], window: number): [number, number] {
  let best: [number, number] = [0, 0];
  const visit = (at: number, used: ReadonlySet<number>, pairs: number, error: number): void => {
    if (at === reference.length) {
      if (pairs > best[0] || (pairs === best[0] && error < best[1])) best = [pairs, error];
      return;
    }
    visit(at + 1, used, pairs, error);
    const meant = reference[at] as number;
    for (const [index, heard] of played.entries()) {
      if (used.has(index) || meant < heard - window || meant > heard + window) continue;
      visit(at + 1, new Set([...used, index]), pairs + 1, error + Math.abs(heard - meant));
    }
  };
  visit(0, new Set(), 0, 0);
  return best;
}

const times = fc
  .array(fc.integer({ min: 0, max: 60 }), { maxLength: 7 })
  .map((list) => list.sort((a, b) => a - b).map((ms) => ms / 100));

test("as many as can be are matched, and of such matchings the one of least error is taken", () => {
  const cases = fc.tuple(times, times, fc.constantFrom(0.015, 0.05, 0.11, 0.33));
  holds("matching", 500, cases, ([reference, played, window]) => {
    const pairs = match(reference, played, window);
    const [most, least] = obvious(reference, played, window);
    expect(pairs.length).toBe(most);
    const error = pairs.reduce(
      (sum, pair) => sum + Math.abs((played[pair.played] as number) - (reference[pair.reference] as number)),
      0,
    );
    expect(error).toBeCloseTo(least, 9);
    expect(new Set(pairs.map((pair) => pair.reference)).size).toBe(most);
    expect(new Set(pairs.map((pair) => pair.played)).size).toBe(most);
  });
});

test("ten thousand events in one stretch are matched at once", () => {
  const reference = Array.from({ length: 10_000 }, (_, index) => index * 0.02);
  const played = reference.map((time, index) => time + (index % 3) * 0.004);
  expect(match(reference, played, 0.05).length).toBe(10_000);
});

test("early is below zero, and a constant lag has no spread", () => {
  const result = compareTimes([1, 2, 3, 4], [1.037, 2.037, 3.037, 9], 0.05);
  expect(result).toMatchObject({ precision: 0.75, recall: 0.75, f: 0.75, matched: 3 });
  expect(result.meanErrorMs).toBeCloseTo(37, 9);
  expect(result.spreadMs).toBeCloseTo(0, 9);
  expect(compareTimes([1, 2], [1.037], 0.05)).toMatchObject({ matched: 1, spreadMs: null });
});
