/**
 * The onset measure of mir_eval (onset.f_measure, util.match_events): half width 0.05 s, ends included, maximum
 * bipartite matching, 0 where a list is empty. Read from its source; Raffel et al. 2014, ISMIR.
 */
import { expect, test } from "vitest";
import { compareTimes } from "../../server/recordings/compareTimes.ts";

test("identical lists score 1, empty ones 0", () => {
  expect(compareTimes([0.5, 1, 2], [0.5, 1, 2])).toMatchObject({ precision: 1, recall: 1, f: 1 });
  for (const [a, b] of [
    [[], []],
    [[1], []],
    [[], [1]],
  ] as const) {
    expect(compareTimes(a, b)).toEqual({
      precision: 0,
      recall: 0,
      f: 0,
      matched: 0,
      meanErrorMs: null,
      spreadMs: null,
    });
  }
});

// Constructed, and confirmed with mir_eval 0.8.2: a matcher that takes the globally closest pair first finds one.
test("two events that a closest-first matcher would lose are both matched", () => {
  expect(compareTimes([0, 0.06], [0.04, 0.1])).toMatchObject({ f: 1, matched: 2 });
});

// Böck, Krebs & Schedl (2012), ISMIR: their window of 50 ms is the whole width, so 25 ms to either side.
test("the half width can be that of the other published variant", () => {
  expect(compareTimes([1], [1.03], 0.025)).toMatchObject({ matched: 0 });
  expect(compareTimes([1], [1.03], 0.05)).toMatchObject({ matched: 1 });
});
