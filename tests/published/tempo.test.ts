/** A ramp's seconds, and swing as a ratio. */
import { describe, expect, it } from "vitest";
import { type Units, UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { bend } from "../../server/time/swing.ts";
import { secondsInto } from "../../server/time/tempo.ts";

describe("a tempo ramp linear in beats", () => {
  // Derived: the integral of 60/T over beats, T linear in beats, 60·N/(T1 − T0)·ln(T1/T0). One linear in time would
  // take 20.210526 and 10.666667 s.
  it.each([
    [93, 97, 32, 20.213512968],
    [60, 120, 16, 11.090354889],
  ])("from %s to %s over %s quarters takes %s s", (from, to, quarters, seconds) => {
    const length = (quarters * UNITS_PER_QUARTER) as Units;
    expect(secondsInto({ from, to }, length, length)).toBeCloseTo(seconds, 9);
  });

  it("is a constant tempo where both ends are the same", () => {
    const length = (32 * UNITS_PER_QUARTER) as Units;
    expect(secondsInto({ from: 93, to: 93 }, length, length)).toBe(secondsInto(93, length, length));
    expect(secondsInto(93, length, length)).toBeCloseTo((32 * 60) / 93, 12);
  });
});

describe("swing in percent", () => {
  // The part of the pair that its first takes, against long to short as Corcoran & Frieler (2021), Music Perception
  // 38(4):372-385, count it (a triplet feel is 2).
  it.each([
    [1, 50],
    [1.5, 60],
    [2, 66.6667],
    [3, 75],
    [3.5, 77.7778],
  ])("%s to 1 is %s percent", (ratio, percent) => {
    const step = UNITS_PER_QUARTER;
    const middle = bend(step, step, percent, (2 * step) as Units);
    expect(middle / (2 * step - middle)).toBeCloseTo(ratio, 4);
  });
});
