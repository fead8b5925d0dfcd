/**
 * How a rhythm pulls against a bar, by published measures. Each is a sum over the onsets, and is given here onset by
 * onset, so that the repeats of a phrase can be compared: positions count in pulses from a bar's start, a rhythm may
 * be many bars long, and its last onset is followed by its first.
 */
import { type Fraction, fraction } from "../../schemas/fraction.ts";
import { gcdOf } from "../time/fraction.ts";
import { intervals } from "./metreEvenness.ts";
import type { Rhythm } from "./rhythm.ts";

const ZERO = fraction(0);

/**
 * Metrical weights of a bar: 0 for its first pulse, one lower for each level further down. `subdivisions` are from
 * the top: [2, 2, 2] is 4/4 in eighths, [2, 3] is 6/8, [3, 2] is 3/4 in eighths.
 *
 * Longuet-Higgins, H. C. & Lee, C. S. (1984), The rhythmic interpretation of monophonic music, Music Perception
 * 1(4):424-441.
 */
export function metricalWeights(subdivisions: readonly number[]): number[] {
  let weights = [0];
  for (const [level, parts] of subdivisions.entries()) {
    weights = weights.flatMap((weight) => [weight, ...new Array<number>(parts - 1).fill(-level - 1)]);
  }
  return weights;
}

/**
 * Weighted note-to-beat distance, onset by onset: 0 on a beat, otherwise 1/T, and 2/T for a note that is held over
 * the next beat but not to the one after it, where T is the distance to the nearest beat as a part of the beat. The
 * measure of a rhythm is the mean.
 *
 * Gómez, F., Melvin, A., Rappaport, D. & Toussaint, G. T. (2005), Mathematical measures of syncopation, Proc.
 * BRIDGES, 73-84.
 */
export function wnbd(rhythm: Rhythm, beatPulses: number): Fraction[] {
  const lengths = intervals(rhythm);
  // One object for equal distances, so that `mean` need not add them one by one.
  const worth: Fraction[] = [];
  return rhythm.onsets.map((onset, index) => {
    const after = onset % beatPulses;
    if (after === 0) return ZERO;
    const end = after + (lengths[index] as number);
    const nearest = Math.min(after, beatPulses - after);
    const times = end > beatPulses && end < 2 * beatPulses ? 2 : 1;
    const key = 2 * nearest + times;
    const known = worth[key] ?? fraction(times * beatPulses, nearest);
    worth[key] = known;
    return known;
  });
}

/** The mean of values in exact fractions, from `first` to `end` (not included); 0 of none. */
export function mean(values: readonly Fraction[], first = 0, end = values.length): Fraction {
  if (end <= first) return ZERO;
  const times = new Map<Fraction, number>();
  for (let index = first; index < end; index++) {
    const value = values[index] as Fraction;
    times.set(value, (times.get(value) ?? 0) + 1);
  }
  let [n, d] = [0n, 1n];
  for (const [value, count] of times) {
    n = n * value.d + value.n * BigInt(count) * d;
    d *= value.d;
  }
  return fraction(n, d * BigInt(end - first));
}

/**
 * Keith's measure, onset by onset: with D the greatest power of 2 not above the note's length (nor the bar), 2 for
 * a start that D does not divide and 1 for an end that it does not: hesitation 1, anticipation 2, syncopation 3.
 *
 * Keith, M. (1991), From Polychords to Pólya, Vinculum Press.
 */
export function keith(rhythm: Rhythm, barPulses: number): number[] {
  const lengths = intervals(rhythm);
  return rhythm.onsets.map((onset, index) => {
    const length = lengths[index] as number;
    const unit = 2 ** (31 - Math.clz32(Math.min(length, barPulses)));
    const off = (at: number): boolean => (at % barPulses) % unit !== 0;
    return (off(onset) ? 2 : 0) + (off(onset + length) ? 1 : 0);
  });
}

/** Keith's measure as Gómez et al. (2005) count it: 1 for each onset that starts off its own beat. */
export const keithStarts = (rhythm: Rhythm, barPulses: number): number[] =>
  keith(rhythm, barPulses).map((value) => (value >= 2 ? 1 : 0));

/**
 * Off-beatness, onset by onset: 1 where the position in the bar has no factor in common with the bar's pulses, so
 * that no even division of the bar meets it.
 *
 * Toussaint, G. T. (2005), Mathematical features for recognizing preference in Sub-Saharan African traditional
 * rhythm timelines; Gómez et al. (2005).
 */
export const offBeatness = (rhythm: Rhythm, barPulses: number): number[] =>
  rhythm.onsets.map((onset) => (gcdOf(barPulses, onset % barPulses) === 1 ? 1 : 0));

/**
 * Longuet-Higgins and Lee, onset by onset: the highest weight among the rests up to the next note, less the weight
 * of the note; null where there is no rest. Where `cyclic` is false the rests after the last note end with the rhythm.
 * A syncopation of strength s is a difference s of 0 or more; the measure of a rhythm is the sum of the positive.
 *
 * Longuet-Higgins & Lee (1984), Music Perception 1(4):424-441; Honing, H. (2002) for the code.
 */
export function lhl(rhythm: Rhythm, weights: readonly number[], cyclic = true): (number | null)[] {
  const bar = weights.length;
  const lengths = intervals(rhythm);
  return rhythm.onsets.map((onset, index) => {
    const next = onset + (lengths[index] as number);
    const end = cyclic ? next : Math.min(next, rhythm.pulses);
    let highest = Number.NEGATIVE_INFINITY;
    for (let rest = onset + 1; rest < end; rest++) highest = Math.max(highest, weights[rest % bar] as number);
    return highest === Number.NEGATIVE_INFINITY ? null : highest - (weights[onset % bar] as number);
  });
}

/**
 * Metrical complexity of a whole rhythm: the greatest sum of weights that so many onsets could have, less the sum
 * that they have; from 0.
 *
 * Toussaint, G. T. (2002), A mathematical analysis of African, Brazilian, and Cuban clave rhythms, Proc. BRIDGES,
 * 157-168.
 */
export function metricalComplexity(rhythm: Rhythm, weights: readonly number[]): number {
  const bars = Math.ceil(rhythm.pulses / weights.length);
  let strongest = 0;
  let left = rhythm.onsets.length;
  for (const weight of [...weights].sort((a, b) => b - a)) {
    const taken = Math.min(left, bars);
    strongest += taken * weight;
    left -= taken;
  }
  let own = 0;
  for (const onset of rhythm.onsets) own += weights[onset % weights.length] as number;
  return strongest - own;
}
