/**
 * The endlessly repeating phrase of a pattern: what its two hands sound together in one combined length.
 *
 * The combined length can be astronomically long (cycles of a thousand steps and one of a thousandth more), so
 * what is asked of every phrase is counted without listing it. The idea: let P and Q be the lengths of the two
 * cycles and g their greatest common divisor. Over one combined length each pair of a move and an opening meets
 * at every distance d that is their distance in the cycles modulo g, each exactly once.
 */
import type { Direction } from "../../schemas/performance.ts";
import type { FaderCycle, Pattern } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { type FaderRound, faderRound, openingsOf, type Stretch } from "../hands/fader.ts";
import { type CycleMove, type RecordRound, recordRound } from "../hands/record.ts";
import { combinedUnits } from "../routine/layout.ts";
import { gcdOf } from "../time/fraction.ts";
import { Memory } from "../../schemas/memory.ts";

export interface RepeatingFader {
  readonly length: Units;
  /**
   * The longest open stretches that start within the cycle, in order; an end may lie past the cycle's end. Empty
   * where the fader never opens, and where it never closes.
   */
  readonly openings: readonly Stretch[];
  readonly alwaysOpen: boolean;
}

export interface Phrase {
  readonly record: RecordRound;
  readonly fader: RepeatingFader;
  /** The greatest common divisor of the two cycles' lengths. */
  readonly common: number;
}

/** A sound of the phrase, in units from the pattern's start. */
export interface PhraseSound {
  readonly start: number;
  readonly end: number;
  readonly direction: Direction;
}

const known = new Memory<FaderCycle, RepeatingFader>();

function repeating(round: FaderRound): RepeatingFader {
  const { length } = round;
  const none = { length, openings: [], alwaysOpen: false };
  // A click that shuts for a whole round or more leaves nothing open anywhere.
  if (round.reach >= length) return none;
  // Four rounds, of which the second knows both its neighbours: closures reach back less than one round.
  const stretches = openingsOf(round, 0 as Units, (4 * length) as Units);
  if (stretches.some(({ start, end }) => start <= length && end >= 3 * length)) {
    return { ...none, alwaysOpen: true };
  }
  const openings = stretches
    .filter(({ start }) => start >= length && start < 2 * length)
    .map(({ start, end }) => ({ start: (start - length) as Units, end: (end - length) as Units }));
  return { ...none, openings };
}

/** The fader hand repeating by itself: the last cells are shut for the first click of the next round. */
function repeatingFader(cycle: FaderCycle): RepeatingFader {
  let fader = known.get(cycle);
  if (fader === undefined) {
    fader = repeating(faderRound(cycle));
    known.set(cycle, fader);
  }
  return fader;
}

export function phraseOf(pattern: Pattern): Phrase {
  const record = recordRound(pattern.record);
  const fader = repeatingFader(pattern.fader);
  return { record, fader, common: gcdOf(record.length, fader.length) };
}

export const isMoving = (move: CycleMove): move is CycleMove & { readonly direction: Direction } =>
  move.direction !== "hold";

/**
 * The number of sounds in one combined length, exact.
 *
 * A move [a, a + m) and an opening [b, b + o) overlap where their distance d lies in (−o, m); the d that are
 * b − a modulo g number ⌊(a + m − 1 − b)/g⌋ − ⌊(a − b − o)/g⌋. Summed over all pairs, the floors fall apart into
 * sums over moves, sums over openings, and a count of remainders out of order.
 */
export function countSounds({ record, fader, common }: Phrase): bigint {
  const moves = record.moves.filter(isMoving);
  if (fader.alwaysOpen) return (BigInt(fader.length) / BigInt(common)) * BigInt(moves.length);
  const upper = floorSum(
    moves.map(({ end }) => end - 1),
    fader.openings.map(({ start }) => start),
    common,
  );
  const lower = floorSum(
    moves.map(({ start }) => start),
    fader.openings.map(({ end }) => end),
    common,
  );
  return upper - lower;
}

/** The sum of ⌊(a − b)/g⌋ over all pairs of an a and a b, none below 0. */
function floorSum(as: readonly number[], bs: readonly number[], g: number): bigint {
  const whole = (list: readonly number[]): bigint =>
    list.reduce((sum, value) => sum + BigInt(Math.floor(value / g)), 0n);
  const rests = (list: readonly number[]): number[] => list.map((value) => value % g).sort((a, b) => a - b);
  const restsOfB = rests(bs);
  let borrowed = 0n;
  let notAbove = 0;
  for (const rest of rests(as)) {
    while (notAbove < restsOfB.length && (restsOfB[notAbove] as number) <= rest) notAbove++;
    borrowed += BigInt(restsOfB.length - notAbove);
  }
  return whole(as) * BigInt(bs.length) - whole(bs) * BigInt(as.length) - borrowed;
}

/**
 * The sounds of one combined length, by start; those of a stretch that is open from before the pattern's start
 * begin there with their stroke. Null where there are more than `most`.
 */
export function listSounds(pattern: Pattern, most: number): PhraseSound[] | null {
  const phrase = phraseOf(pattern);
  const { record, fader } = phrase;
  if (countSounds(phrase) > BigInt(most)) return null;
  const combined = combinedUnits(pattern);
  if (BigInt(record.moves.length) * (combined / BigInt(record.length)) > BigInt(8 * most)) return null;
  const length = Number(combined);
  const sounds: PhraseSound[] = [];
  for (let turn = 0; turn < length; turn += record.length) {
    for (const move of record.moves) {
      if (!isMoving(move)) continue;
      const start = turn + move.start;
      const end = turn + move.end;
      for (const opening of openBetween(fader, start, end)) {
        sounds.push({
          start: Math.max(start, opening.start),
          end: Math.min(end, opening.end),
          direction: move.direction,
        });
      }
    }
  }
  return sounds;
}

/** The open stretches of the repeating fader that meet [start, end), in order, not cut to it. */
export function* openBetween(
  { length, openings, alwaysOpen }: RepeatingFader,
  start: number,
  end: number,
): Generator<{ readonly start: number; readonly end: number }> {
  if (alwaysOpen) {
    yield { start: Number.NEGATIVE_INFINITY, end: Number.POSITIVE_INFINITY };
    return;
  }
  for (let turn = (Math.floor(start / length) - 1) * length; turn < end; turn += length) {
    for (let index = firstAfter(openings, start - turn); index < openings.length; index++) {
      const opening = openings[index] as Stretch;
      const opens = turn + opening.start;
      if (opens >= end) return;
      yield { start: opens, end: turn + opening.end };
    }
  }
}

/** Index of the first of some stretches in order, none overlapping, that ends after a position. */
function firstAfter(stretches: readonly Stretch[], position: number): number {
  let low = 0;
  let high = stretches.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((stretches[middle] as Stretch).end > position) high = middle;
    else low = middle + 1;
  }
  return low;
}
