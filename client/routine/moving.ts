/** Placements moved, stretched and cut: pure, from a wish in units to the placement that the file would hold. */
import type { Cell, Lasts, Pattern, PatternPlacement, Placement, Stroke } from "../../schemas/routine.ts";
import { fraction, fractionText, multiply } from "../../schemas/fraction.ts";
import { add, lcmOf, partOfWhole, readFraction, unitsOf } from "../parts/music.ts";

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

const partsOf = (step: string, items: readonly (Stroke | Cell)[]) =>
  items.map(({ length }) =>
    multiply(readFraction(step) ?? fraction(1, 16), readFraction(length ?? 1) ?? fraction(1)),
  );
const cycleLength = (step: string, items: readonly (Stroke | Cell)[]) =>
  partsOf(step, items).reduce(add, fraction(0));

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

/** Units that a said length is; of cycles and steps without their pattern, none. */
export function saidLength(lasts: Lasts, bar: number, pattern: Pattern | null): number {
  if ("bars" in lasts) return lasts.bars * bar;
  if (pattern === null) return 0;
  const { step, combined } = lengthsOf(pattern);
  return "cycles" in lasts ? lasts.cycles * combined : lasts.steps * step;
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

/** Without `lasts` it lasts until the next one of the same player starts, or to the end of its section. */
export function untilNext(placement: Placement): Placement {
  const { lasts: _, ...rest } = placement;
  return rest as Placement;
}

/** How long a phrase is put in for: until it comes round against the bar where there is room, else whole repeats. */
export function wholeRounds(pattern: Pattern, bar: number, room: number): Lasts {
  const { combined } = lengthsOf(pattern);
  const round = unitsOf(lcmOf(partOfWhole(combined), partOfWhole(bar)));
  const most = Math.floor(room / combined);
  return { cycles: Math.max(1, round <= room ? round / combined : most) };
}

/** Which item of a cycle starts so many units after the item `first` did; null inside an item. */
function itemAt(
  step: string,
  items: readonly (Stroke | Cell)[],
  first: number,
  offset: number,
): number | null {
  const lengths = partsOf(step, items).map(unitsOf);
  const round = lengths.reduce<number>((sum, length) => sum + length, 0);
  let left = offset % round;
  for (let turn = 0; turn < lengths.length; turn++) {
    if (left === 0) return (first + turn) % lengths.length;
    left -= lengths[(first + turn) % lengths.length] as number;
    if (left < 0) return null;
  }
  return left === 0 ? first : null;
}

/**
 * A placement of `length` units cut in two, `offset` units after its start: the second goes on where the first stops.
 * @returns null where one of the hands is inside a stroke or cell, or the length cannot be said
 */
export function cutInTwo(
  placement: Placement,
  where: { readonly start: number; readonly length: number; readonly offset: number; readonly bar: number },
  pattern: Pattern | null,
): readonly [Placement, Placement] | null {
  const { start, length, offset, bar } = where;
  if (offset <= 0 || offset >= length) return null;
  const before = stretchedTo(placement, offset, bar, pattern);
  const rest = lastsOf(length - offset, bar, pattern);
  const second = movedTo(
    placement.lasts === undefined ? placement : untilNext(placement),
    start + offset,
    bar,
  );
  if (before === null || (placement.lasts !== undefined && rest === null)) return null;
  const lasts = placement.lasts === undefined || rest === null ? {} : { lasts: rest };
  if (pattern === null) return [before, { ...second, ...lasts } as Placement];
  const one = placement as PatternPlacement;
  const record = itemAt(pattern.record.step, pattern.record.strokes, one.recordFrom ?? 0, offset);
  const fader = itemAt(pattern.fader.step, pattern.fader.cells, one.faderFrom ?? 0, offset);
  if (record === null || fader === null) return null;
  const { recordAt: _, recordFrom: _r, faderFrom: _f, arrives: _a, ...plain } = second as PatternPlacement;
  return [
    before,
    {
      ...plain,
      ...lasts,
      ...(record === 0 ? {} : { recordFrom: record }),
      ...(fader === 0 ? {} : { faderFrom: fader }),
      carriesOn: true,
    },
  ];
}
