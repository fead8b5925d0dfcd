/**
 * From exact positions to ticks. Swing is in the ticks: a swung event stands where it is heard, against a straight
 * bar grid. Every event is rounded once, from its position in its section, never from a sum of rounded deltas; a
 * section starts on a whole tick at every resolution that can be chosen.
 */

import { type Fraction, fraction } from "../../schemas/fraction.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER, type Units } from "../../schemas/units.ts";
import { nearest } from "../time/fraction.ts";
import { bentInSection, sectionAt, type SwingOf, type Swung, swingOf } from "../time/timeline.ts";

export interface Clock {
  /** Ticks from the start of the routine of an absolute position (units). */
  tick(position: number, swung: Swung): number;
  /** The position as a fraction of a quarter from its section's start, exactly; for telling whether a tick hits it. */
  exact(position: number, swung: Swung): Fraction;
}

/** A percentage as the user wrote it, exactly: 57.5 is 575/1000. */
function partOf(percent: number): Fraction {
  const [whole = "0", decimals = ""] = String(percent).split(".");
  return fraction(BigInt(whole + decimals), 100n * 10n ** BigInt(decimals.length));
}

/** The same as `bend` in server/time/swing.ts, without rounding. */
function bendExactly(position: bigint, swing: SwingOf, percent: number, length: bigint): Fraction {
  const step = BigInt(swing.step);
  const pair = 2n * step;
  const start = (position / pair) * pair;
  if (start + pair > length) return fraction(position);
  const { n, d } = partOf(percent);
  const inside = position - start;
  // The first step takes pair·n/d, the second the rest; both in proportion.
  return inside <= step
    ? fraction(start * d + inside * 2n * n, d)
    : fraction(start * d + pair * n + (inside - step) * 2n * (d - n), d);
}

/** Ticks: as near to a half as this, the quick sum of a bent position may be on its wrong side. */
const UNSURE = 1e-3;

export function clockOf(routine: Routine, performance: Performance, ppq: number): Clock {
  const swings = routine.sections.map(swingOf);
  const spans = performance.sections;
  const first = spans[0]?.start ?? 0;

  /** The section in whose time a position lies; -1 for the lead-in. The end of the routine is the last's. */
  const homeOf = (position: number): number => (position < first ? -1 : sectionAt(spans, position));

  /** Ticks of a length in units: quarters first, so that products stay exact where it is whole. */
  const ticksOf = (length: number): number => {
    const quarters = Math.floor(length / UNITS_PER_QUARTER);
    return quarters * ppq + Math.round(((length - quarters * UNITS_PER_QUARTER) * ppq) / UNITS_PER_QUARTER);
  };

  function exact(position: number, swung: Swung): Fraction {
    const home = homeOf(position);
    const { start, end } =
      home < 0 ? { start: 0, end: first } : (spans[home] as { start: number; end: number });
    const inside = BigInt(position - start);
    const swing = swings[home];
    const percent = swung === "straight" || swing === undefined || swing.step === 0 ? 50 : swing[swung];
    const bent =
      percent === 50 ? fraction(inside) : bendExactly(inside, swing as SwingOf, percent, BigInt(end - start));
    return fraction(bent.n, bent.d * BigInt(UNITS_PER_QUARTER));
  }

  function tick(position: number, swung: Swung): number {
    const home = homeOf(position);
    if (home < 0) return ticksOf(position);
    const { start, end } = spans[home] as { start: Units; end: Units };
    const bent = bentInSection(swings[home] as SwingOf, (end - start) as Units, position - start, swung);
    const part = ((bent / UNITS_PER_QUARTER) * ppq) % 1;
    const inside = Math.abs(part - 0.5) < UNSURE ? nearest(exact(position, swung), ppq) : ticksOf(bent);
    return ticksOf(start) + inside;
  }

  return { tick, exact };
}
