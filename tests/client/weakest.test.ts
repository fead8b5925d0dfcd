import { expect, test } from "vitest";
import { weakestOf } from "../../client/rehearse/weakest.ts";

/** Errors of four openings of one section in a round, milliseconds; null: missed. */
const round = (...errors: (number | null)[]) =>
  errors.map((errorMs, index) => ({ section: 1, at: 100 * index, errorMs, unheardMs: 6 }));

test("the weakest opening is the furthest off on average, a miss as far as the edge of the window", () => {
  expect(weakestOf([round(1, -20, null, 3), round(2, -30, 12, 3)])).toEqual({
    section: 1,
    at: 200,
    missed: 1,
    rounds: 2,
    mean: 12,
  });
  expect(weakestOf([round(1, -20, 8, 3), round(2, -30, 12, 3)])).toEqual({
    section: 1,
    at: 100,
    missed: 0,
    rounds: 2,
    mean: -25,
  });
  // Missed once in four rounds is 50 / 4 ms; each time 15 ms off is worse.
  const misses = [null, 0, 0, 0].map((one) => round(0, one, 15, 0));
  expect(weakestOf(misses)).toEqual({ section: 1, at: 200, missed: 0, rounds: 4, mean: 15 });
});

test("where no error can be heard, or nothing was tapped, nothing is weakest", () => {
  expect(weakestOf([round(1, -6, 5.9, 0)])).toBeNull();
  expect(weakestOf([])).toBeNull();
});
