/**
 * Taps against expected times: as many pairs as there can be within a window, each time in one pair at most (the onset
 * measure of MIREX, as in mir_eval: F-measure over a maximum matching). With one window for all, going through both in
 * order and pairing whatever is near enough gives a maximum matching.
 */
import type { PracticeScore } from "../../schemas/practice.ts";
import { spreadOf } from "../../schemas/spread.ts";

/** Seconds: the window of the published measure. */
export const WINDOW = 0.05;

/** @param expected, @param played seconds, ascending. @returns pairs of indices, ascending in both */
export function pairs(
  expected: readonly number[],
  played: readonly number[],
  window = WINDOW,
): [number, number][] {
  const found: [number, number][] = [];
  for (let e = 0, p = 0; e < expected.length && p < played.length; ) {
    const late = played[p]! - expected[e]!;
    if (Math.abs(late) <= window) found.push([e++, p++]);
    else if (late > 0) e++;
    else p++;
  }
  return found;
}

export function scoreOf(expected: readonly number[], played: readonly number[]): PracticeScore {
  const errors = pairs(expected, played).map(([e, p]) => (played[p]! - expected[e]!) * 1_000);
  const mean = errors.reduce((sum, one) => sum + one, 0) / errors.length;
  return {
    by: "taps",
    expected: expected.length,
    matched: errors.length,
    extra: played.length - errors.length,
    meanMs: errors.length === 0 ? null : mean,
    spreadMs: spreadOf(errors),
  };
}

/** 0 to 1: twice the pairs over all times. 1 where nothing was expected and nothing played. */
export const fOf = ({ expected, matched, extra }: PracticeScore): number =>
  expected + matched + extra === 0 ? 1 : (2 * matched) / (expected + matched + extra);
