/**
 * How evenly the onsets of a rhythm lie, by published measures. A rhythm is cyclic: its last interval runs on to
 * its first onset.
 */
import { euclidean } from "./euclid.ts";
import type { Rhythm } from "./rhythm.ts";

/** From each onset to the next, in pulses; the last wraps. They add up to the pulses. */
export function intervals({ pulses, onsets }: Rhythm): number[] {
  return onsets.map((onset, index) => {
    const next = onsets[index + 1];
    return next === undefined ? pulses - onset + (onsets[0] as number) : next - onset;
  });
}

/** For every two onsets the shorter way round between them, 1 to pulses/2. */
function distances({ pulses, onsets }: Rhythm): number[] {
  const result: number[] = [];
  for (const [index, a] of onsets.entries())
    for (const b of onsets.slice(index + 1)) result.push(Math.min(b - a, pulses - (b - a)));
  return result;
}

const total = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0);

/**
 * The sum of the straight lines between every two onsets, the pulses standing on a circle of radius 1. Greatest
 * where the onsets are spread most evenly. Toussaint, G. T. (2013), The Geometry of Musical Rhythm, CRC;
 * Demaine et al. (2009), Comput. Geom. 42:429-454.
 */
export const chordSum = (rhythm: Rhythm): number =>
  total(distances(rhythm).map((distance) => 2 * Math.sin((Math.PI * distance) / rhythm.pulses)));

/** The sum of the ways round between every two onsets, in pulses; coarser than the chords. Same sources. */
export const arcSum = (rhythm: Rhythm): number => total(distances(rhythm));

/**
 * The chord sum as a part of the greatest that so many onsets over so many pulses can have: 1 is as even as can
 * be. Rhythms of fewer than two onsets count as even (1).
 */
export function evenness(rhythm: Rhythm): number {
  if (rhythm.onsets.length < 2) return 1;
  return chordSum(rhythm) / chordSum(euclidean(rhythm.onsets.length, rhythm.pulses));
}

/** Whether it is a rotation of the Euclidean rhythm of its size: Toussaint 2013, Fig. 37.11. */
export function isMaximallyEven(rhythm: Rhythm): boolean {
  const own = intervals(rhythm);
  const even = intervals(euclidean(rhythm.onsets.length, rhythm.pulses));
  return even.some((_, turn) => own.every((value, index) => value === even[(index + turn) % even.length]));
}

/** Rhythmic oddity: no two onsets part the cycle in halves. Toussaint 2013, Fig. 37.11. */
export const hasOddity = (rhythm: Rhythm): boolean =>
  distances(rhythm).every((distance) => 2 * distance !== rhythm.pulses);

/** Deep: each distance that is there is there a different number of times. Toussaint 2013, Fig. 37.11. */
export function isDeep(rhythm: Rhythm): boolean {
  const times = new Map<number, number>();
  for (const distance of distances(rhythm)) times.set(distance, (times.get(distance) ?? 0) + 1);
  return new Set(times.values()).size === times.size;
}

/** How many different intervals between neighbours there are. Toussaint 2013, Fig. 37.11. */
export const distinctIntervals = (rhythm: Rhythm): number => new Set(intervals(rhythm)).size;

/** How many different distances between any two onsets there are. Toussaint 2013, Fig. 17.13. */
export const distinctDistances = (rhythm: Rhythm): number => new Set(distances(rhythm)).size;

/**
 * Normalised pairwise variability index of durations, in their order, not wrapped: the mean over neighbours of
 * 100·|a − b| / ((a + b)/2), 0 for equal durations, below 200. Null for fewer than two.
 *
 * Grabe, E. & Low, E. L. (2002); Daniele, J. R. & Patel, A. D. (2013), Music Perception 31(1):10-18;
 * Condit-Schultz, N. (2019), Music Perception 36(3):300-313; Toussaint 2013, Fig. 17.13 for rhythms.
 */
export function nPVI(durations: readonly number[]): number | null {
  if (durations.length < 2) return null;
  const contrasts = durations.slice(1).map((b, index) => {
    const a = durations[index] as number;
    return Math.abs(a - b) / ((a + b) / 2);
  });
  return (100 * total(contrasts)) / contrasts.length;
}
