/**
 * Where placements lie: start and, where it is said, duration, in units from the start of their section. What lasts
 * until the next placement starts is left open here, since that may be a pickup of a later section.
 */
import { isWords, type Pattern, type Placement, type Section } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { faderRound } from "../hands/fader.ts";
import { recordRound } from "../hands/record.ts";
import { lcm, parseFraction, unitsOf } from "../time/fraction.ts";
import { meterOf } from "../time/meter.ts";

export interface Spot {
  /** Index in the section's list. */
  readonly index: number;
  readonly placement: Placement;
  readonly player: number;
  /** Units from the section's start; negative for a pickup. */
  readonly start: number;
  /** Units, or null: until the next placement of this player starts. May be beyond any section (Infinity). */
  readonly duration: number | null;
}

/** Combined length of a pattern in units, exact however large. */
export const combinedUnits = (pattern: Pattern): bigint =>
  lcm(BigInt(recordRound(pattern.record).length), BigInt(faderRound(pattern.fader).length));

/** @param pattern the placement's, or undefined for words. */
export function durationOf(placement: Placement, pattern: Pattern | undefined, bar: Units): number | null {
  const { lasts } = placement;
  if (lasts === undefined) return null;
  if ("bars" in lasts) return lasts.bars * bar;
  if (pattern === undefined) return null;
  return "cycles" in lasts
    ? Number(combinedUnits(pattern) * BigInt(lasts.cycles))
    : recordRound(pattern.record).step * lasts.steps;
}

/** Units from the section's start, or null where `at` is finer than the clock or lies outside the bar. */
export function startOf(placement: Placement, bar: Units): number | null {
  const at = placement.at === undefined ? 0 : unitsOf(parseFraction(placement.at));
  return at === null || at >= bar ? null : (placement.bar - 1) * bar + at;
}

export interface SectionLayout {
  readonly bar: Units;
  readonly length: Units;
  /** Sorted by start, then index. */
  readonly spots: readonly Spot[];
  /** Those of `spots` that start before the section. */
  readonly pickups: readonly Spot[];
}

const byStart = (a: Spot, b: Spot): number => a.start - b.start || a.index - b.index;

/** Of a checked section; placements whose pattern is unknown are left out. */
export function layOut(section: Section, patterns: ReadonlyMap<string, Pattern>): SectionLayout {
  const { bar } = meterOf(section);
  const spots: Spot[] = [];
  for (const [index, placement] of section.placements.entries()) {
    const pattern = isWords(placement) ? undefined : patterns.get(placement.pattern);
    const start = startOf(placement, bar);
    if (start === null || (pattern === undefined && !isWords(placement))) continue;
    spots.push({
      index,
      placement,
      player: placement.player ?? 1,
      start,
      duration: durationOf(placement, pattern, bar),
    });
  }
  spots.sort(byStart);
  return {
    bar,
    length: (section.bars * bar) as Units,
    spots,
    pickups: spots.filter((spot) => spot.start < 0),
  };
}
