/**
 * How far one phrase is from another, 0 (the same phrase, shifted or not) to 1 (ours, no published source): the part of
 * the time in which the hands do something else, both hands weighing the same, at the shift in time that makes it
 * least.
 *
 *     d(p, q) = min over shifts s of ½·P[record of p(t) ≠ record of q(t + s)] + ½·P[fader of p(t) ≠ fader of q(t + s)]
 *
 * where P is the part of all steps t of the endlessly repeating phrases. The reasons: what a player must learn anew is
 * what a hand does when, so the hands are compared and not the sound; a phrase is the same wherever in its cycle it
 * starts, so shifts do not count, but both hands shift together, since how they meet is part of the phrase; and neither
 * hand is worth more. It is a metric up to shifts: it is symmetric, and the triangle inequality holds, so that "far from
 * all that I know" is a statement one can reason with.
 *
 * Over all t, the record's step i of p meets step j of q equally often wherever j − i ≡ s modulo the greatest common
 * divisor of their lengths, so only counts by remainder are compared, and few shifts.
 */
import type { FaderState, Move, Pattern } from "../../schemas/routine.ts";
import { faderRound } from "../hands/fader.ts";
import { recordRound } from "../hands/record.ts";
import { gcdOf } from "../time/fraction.ts";

/** What each hand does in each step; two cycles of kinds, any lengths. */
export interface Steps {
  readonly record: readonly Move[];
  readonly fader: readonly FaderState[];
}

/** A library phrase that needs more steps than this to be read is left out. */
const MOST_STEPS = 1024;

/**
 * A pattern read step by step, `step` being units: what each hand does where the step starts. A split stroke is its
 * moves; a cell that starts before the step and runs into it counts as what it does there. A cycle that is no whole
 * number of steps is repeated until it is; null where that takes more than 1,024.
 */
export function stepsOf(pattern: Pattern, step: number): Steps | null {
  const record = recordRound(pattern.record);
  const fader = faderRound(pattern.fader);
  const steps = (length: number): number => length / gcdOf(length, step);
  if (steps(record.length) > MOST_STEPS || steps(fader.length) > MOST_STEPS) return null;
  return {
    record: Array.from({ length: steps(record.length) }, (_, at) => {
      const place = (at * step) % record.length;
      return (record.moves.findLast(({ start }) => start <= place) as { direction: Move }).direction;
    }),
    fader: Array.from({ length: steps(fader.length) }, (_, at) => {
      const place = (at * step) % fader.length;
      const cell = fader.cellStarts.findLastIndex((start) => start <= place);
      const { fader: state } = pattern.fader.cells[cell] as { fader: FaderState };
      // Inside a click's cell the fader is simply open; a pulse is itself as long as its cell lasts.
      return state === "click" && fader.cellStarts[cell] !== place ? "open" : state;
    }),
  };
}

/** For each shift modulo gcd(a, b) the part of all steps in which a(t) and b(t + shift) differ. */
function differences<Kind>(a: readonly Kind[], b: readonly Kind[]): Float64Array {
  const common = gcdOf(a.length, b.length);
  const different = new Float64Array(common);
  for (const [i, kind] of a.entries()) {
    for (const [j, other] of b.entries()) {
      if (kind === other) continue;
      const shift = (((j - i) % common) + common) % common;
      different[shift] = (different[shift] as number) + 1;
    }
  }
  // Every shift is met by a.length · b.length / common pairs.
  return different.map((count) => (count * common) / (a.length * b.length));
}

export function distance(a: Steps, b: Steps): number {
  const record = differences(a.record, b.record);
  const fader = differences(a.fader, b.fader);
  let least = 1;
  const shifts = (record.length / gcdOf(record.length, fader.length)) * fader.length;
  for (let shift = 0; shift < shifts; shift++) {
    const here = (record[shift % record.length] as number) + (fader[shift % fader.length] as number);
    least = Math.min(least, here / 2);
  }
  return least;
}

/** From the nearest of a library; 1 from an empty one, where everything is new. */
export const distanceFrom = (library: readonly Steps[], phrase: Steps): number =>
  library.reduce((least, known) => Math.min(least, distance(phrase, known)), 1);
