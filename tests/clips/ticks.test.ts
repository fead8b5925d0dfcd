import fc from "fast-check";
import { expect, test } from "vitest";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { clockOf } from "../../server/clips/ticks.ts";

/** A clock in the second of two bars of 4/4; positions count from there, in 128ths of a quarter. */
function tickOf(percent: number, ppq: number, place: number): number {
  const swing = { of: "1/16", hands: percent };
  const bar = 4 * UNITS_PER_QUARTER;
  const routine = { sections: [{}, { swing }] } as unknown as Routine;
  const sections = [
    { start: 0, end: bar },
    { start: bar, end: 2 * bar },
  ];
  const clock = clockOf(routine, { sections } as unknown as Performance, ppq);
  return clock.tick(bar + (place * UNITS_PER_QUARTER) / 128, "hands") - 4 * ppq;
}

/** Whole numbers only: the percentage in tenths, everything over 1000·64·128. */
function halvesUp(tenths: number, ppq: number, place: number): number {
  const pair = Math.floor(place / 64) * 64;
  const inside = BigInt(place - pair);
  const share = BigInt(tenths);
  const over = inside <= 32n ? inside * 2n * share : 64n * share + (inside - 32n) * 2n * (1000n - share);
  const top = (BigInt(pair) * 1000n + over) * BigInt(ppq);
  return Number((2n * top + 128_000n) / 256_000n);
}

test("a swung event that falls half between two ticks goes to the later one", () => {
  // A quarter and, of the pair after it, 64 of 128 parts of a 32nd: 1250.5 of 1000 ticks a quarter.
  expect(tickOf(50.1, 1000, 160)).toBe(1251);
  expect(halvesUp(501, 1000, 160)).toBe(1251);
});

test("every swung event stands on the tick that is nearest to its exact position", () => {
  const ppqs = fc.oneof(
    fc.constantFrom(480, 960, 1000, 1920),
    fc.integer({ min: 1, max: 4095 }).map((eighth) => 8 * eighth),
  );
  fc.assert(
    fc.property(
      fc.integer({ min: 501, max: 800 }),
      ppqs,
      fc.integer({ min: 0, max: 511 }),
      (tenths, ppq, place) => {
        expect(tickOf(tenths / 10, ppq, place)).toBe(halvesUp(tenths, ppq, place));
      },
    ),
    { numRuns: 3000 },
  );
});
