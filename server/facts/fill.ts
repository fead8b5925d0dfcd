/**
 * Filling a gap: all the sequences of groups that fill it exactly, how many there are, and the best first. Groups
 * are lengths, or the user's own patterns, which have names as well. Everything is exact: lengths are fractions of
 * a step until they are counted in one common part of it.
 */
import { LARGEST_GAP, MOST_FILLINGS, MOST_GROUPS } from "../../schemas/find.ts";
import { divide, type Fraction, fraction, fractionText, multiply } from "../../schemas/fraction.ts";
import type { Pattern } from "../../schemas/routine.ts";
import { combinedUnits } from "../routine/layout.ts";
import { compare, lcm, parseFraction, partOfWhole } from "../time/fraction.ts";
import { bestFillings } from "./fillBest.ts";
import { fillCount, type Gap, type Pin } from "./fillCount.ts";

export interface Group {
  /** What it is called: the id of a pattern, or its length as text. */
  readonly name: string;
  /** Steps. */
  readonly length: Fraction;
}

/** At so many steps from the gap's start one group ends and the next starts. */
export interface PinnedAt {
  readonly at: Fraction;
  /** Name of the group that must start there, or end there. */
  readonly starts?: string;
  readonly ends?: string;
}

export interface FillQuestion {
  /** Steps, above 0. */
  readonly gap: Fraction;
  readonly groups: readonly Group[];
  readonly pins?: readonly PinnedAt[];
  /** How many of the best to list, 0 to MOST_FILLINGS. */
  readonly top: number;
}

export interface Filling {
  readonly count: bigint;
  /** Indices into the question's groups, the best first. */
  readonly best: readonly (readonly number[])[];
  /** Where nothing fills it: the nearest gaps, in steps, that can be filled; null where there is none. */
  readonly nearest: { readonly shorter: Fraction | null; readonly longer: Fraction | null } | null;
}

export interface Refused {
  readonly refused: string;
}

const ZERO = fraction(0);
const largest = LARGEST_GAP.toLocaleString("en");

/** A pattern as a group: its combined length in the given step (a part of a whole note, as text). */
export function groupOf(pattern: Pattern, step: string): Group {
  return { name: pattern.id, length: divide(partOfWhole(combinedUnits(pattern)), parseFraction(step)) };
}

function wrongWith({ gap, groups, pins = [], top }: FillQuestion): string | null {
  if (groups.length === 0) return "There are no groups to fill the gap with: name at least one length.";
  if (groups.length > MOST_GROUPS)
    return `There are ${groups.length} groups; at most ${MOST_GROUPS} can be tried at a time.`;
  if (compare(gap, ZERO) <= 0)
    return `A gap of ${fractionText(gap)} steps has nothing to fill: give a length above 0.`;
  const names = new Set<string>();
  for (const { name, length } of groups) {
    if (compare(length, ZERO) <= 0)
      return `A group of ${fractionText(length)} steps would never fill anything: give lengths above 0.`;
    if (names.has(name)) return `The group ${name} is named twice: name each group once.`;
    names.add(name);
  }
  for (const { at, starts, ends } of pins) {
    const place = fractionText(at);
    if (compare(at, ZERO) < 0 || compare(at, gap) > 0)
      return `Step ${place} lies outside the gap of ${fractionText(gap)} steps, so nothing can be pinned there.`;
    if (starts !== undefined && compare(at, gap) === 0)
      return `Nothing starts at step ${place}, where the gap ends: pin a start before it.`;
    if (ends !== undefined && compare(at, ZERO) === 0)
      return `Nothing ends at step 0, where the gap starts: pin an end after it.`;
    for (const name of [starts, ends])
      if (name !== undefined && !names.has(name))
        return `${name} is pinned at step ${place}, but is none of the groups.`;
  }
  if (!Number.isInteger(top) || top < 0 || top > MOST_FILLINGS)
    return `At most ${MOST_FILLINGS.toLocaleString("en")} sequences are listed, in whole numbers: ask for fewer than ${top}.`;
  return null;
}

/** Everything counted in the largest part of a step of which all lengths are whole numbers. */
function counted({ gap, groups, pins = [] }: FillQuestion): { gap: Gap; part: Fraction } | Refused {
  const lengths = [gap, ...groups.map(({ length }) => length), ...pins.map(({ at }) => at)];
  const parts = lengths.reduce((common, { d }) => lcm(common, d), 1n);
  const inParts = ({ n, d }: Fraction): number => Number(n * (parts / d));
  const size = inParts(gap);
  if (size > LARGEST_GAP) {
    return {
      refused:
        parts === 1n
          ? `A gap of ${size.toLocaleString("en")} steps is too long to fill: the longest is ${largest}.`
          : `A gap of ${fractionText(gap)} steps counted in parts of 1/${parts} is too long to fill: the longest is ${largest} parts.`,
    };
  }
  const indexOf = (name: string): number => groups.findIndex((group) => group.name === name);
  return {
    gap: {
      size,
      lengths: groups.map(({ length }) => inParts(length)),
      pins: pins.map(
        ({ at, starts, ends }): Pin => ({
          at: inParts(at),
          ...(starts === undefined ? {} : { starts: indexOf(starts) }),
          ...(ends === undefined ? {} : { ends: indexOf(ends) }),
        }),
      ),
    },
    part: fraction(1n, parts),
  };
}

/** The nearest sizes below and above that the lengths can fill, pins aside; null where there is none in reach. */
function nearestOf({ size, lengths }: Gap, part: Fraction): NonNullable<Filling["nearest"]> {
  const shortest = Math.min(...lengths);
  if (shortest > size) return { shorter: null, longer: multiply(fraction(shortest), part) };
  // A multiple of the shortest group lies within one of its lengths.
  const furthest = size + shortest;
  const fillable = new Uint8Array(furthest + 1);
  fillable[0] = 1;
  for (let at = 1; at <= furthest; at++)
    fillable[at] = lengths.some((length) => length <= at && fillable[at - length] === 1) ? 1 : 0;
  const steps = (at: number): Fraction | null => (at <= 0 ? null : multiply(fraction(at), part));
  const shorter = fillable.lastIndexOf(1, size - 1);
  const longer = fillable.indexOf(1, size + 1);
  return { shorter: steps(shorter), longer: steps(longer) };
}

/**
 * All sequences that fill the gap: their exact count, and the best: fewest changes from one group to another,
 * then fewest groups, then in the order given.
 */
export function fill(question: FillQuestion): Filling | Refused {
  const wrong = wrongWith(question);
  if (wrong !== null) return { refused: wrong };
  const made = counted(question);
  if ("refused" in made) return made;
  const count = fillCount(made.gap);
  return {
    count,
    best: count === 0n ? [] : bestFillings(made.gap, question.top),
    nearest: count === 0n ? nearestOf(made.gap, made.part) : null,
  };
}
