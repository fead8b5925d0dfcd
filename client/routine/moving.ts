/** Placements moved and stretched: pure, from a wish in units to the placement that the file would hold. */
import {
  fractionText,
  lcmOf,
  multiply,
  partOfWhole,
  readFraction,
  fraction,
  add,
  unitsOf,
} from "../parts/music.ts";
import type { Lasts, Pattern, Placement, Stroke, Cell } from "../../schemas/routine.ts";

/** @param start units from the section's start, may be negative; @param bar units */
export function movedTo(placement: Placement, start: number, bar: number): Placement {
  const index = Math.floor(start / bar);
  const { at: _, ...rest } = placement;
  const into = start - index * bar;
  return {
    ...rest,
    bar: index + 1,
    ...(into === 0 ? {} : { at: fractionText(partOfWhole(into)) }),
  } as Placement;
}

const cycleLength = (step: string, items: readonly (Stroke | Cell)[]) =>
  multiply(
    readFraction(step) ?? fraction(1, 16),
    items.reduce((sum, { length }) => add(sum, readFraction(length ?? 1) ?? fraction(1)), fraction(0)),
  );

/** Units in a step of the record hand, and in the pattern's combined length. */
export function lengthsOf(pattern: Pattern): {
  step: number;
  record: number;
  fader: number;
  combined: number;
} {
  const record = cycleLength(pattern.record.step, pattern.record.strokes);
  const fader = cycleLength(pattern.fader.step, pattern.fader.cells);
  return {
    step: unitsOf(readFraction(pattern.record.step) ?? fraction(1, 16)),
    record: unitsOf(record),
    fader: unitsOf(fader),
    combined: unitsOf(lcmOf(record, fader)),
  };
}

/**
 * How the file says a length: in combined cycles where it is whole ones (it lands), else in bars, else in steps.
 * Words know bars only. @returns null where it cannot be said: shorter than a step, or no whole number of any
 */
export function lastsOf(length: number, bar: number, pattern: Pattern | null): Lasts | null {
  if (length <= 0) return null;
  if (pattern !== null) {
    const { step, combined } = lengthsOf(pattern);
    if (length % combined === 0) return { cycles: length / combined };
    if (length % bar !== 0 && length % step === 0) return { steps: length / step };
  }
  return length % bar === 0 ? { bars: length / bar } : null;
}

export function stretchedTo(
  placement: Placement,
  length: number,
  bar: number,
  pattern: Pattern | null,
): Placement | null {
  const lasts = lastsOf(length, bar, pattern);
  return lasts === null ? null : ({ ...placement, lasts } as Placement);
}

/** The earlier of two that overlap, made to end where the other starts: without `lasts` it lasts until then. */
export function untilNext(placement: Placement): Placement {
  const { lasts: _, ...rest } = placement;
  return rest as Placement;
}
