/**
 * How evenly the onsets of a rhythm lie, by published measures. A rhythm is cyclic: its last interval runs on to
 * its first onset.
 */
import { euclidean } from "./euclid.ts";
import type { Rhythm } from "./rhythm.ts";
import { Memory } from "../../schemas/memory.ts";

/** From each onset to the next, in pulses; the last wraps. They add up to the pulses. */
export function intervals({ pulses, onsets }: Rhythm): number[] {
  return onsets.map((onset, index) => {
    const next = onsets[index + 1];
    return next === undefined ? pulses - onset + (onsets[0] as number) : next - onset;
  });
}

const spreads = new Memory<Rhythm, Uint32Array>();

/**
 * How many pairs of onsets lie each distance apart, by the shorter way round: at index d, 0 to half the pulses. All
 * measures of distances are sums over it, so it is worked out once for a rhythm.
 */
function spread(rhythm: Rhythm): Uint32Array {
  let counts = spreads.get(rhythm);
  if (counts === undefined) {
    // Few onsets: pair by pair. Many: the rhythm is laid over itself at each distance, 32 pulses at once.
    const { pulses, onsets } = rhythm;
    counts = onsets.length ** 2 < pulses ** 2 / 32 + 64 ? byPairs(rhythm) : byOverlay(rhythm);
    spreads.set(rhythm, counts);
  }
  return counts;
}

function byPairs({ pulses, onsets }: Rhythm): Uint32Array {
  const counts = new Uint32Array((pulses >> 1) + 1);
  for (let a = 0; a < onsets.length; a++) {
    for (let b = a + 1; b < onsets.length; b++) {
      const apart = (onsets[b] as number) - (onsets[a] as number);
      const distance = Math.min(apart, pulses - apart);
      counts[distance] = (counts[distance] as number) + 1;
    }
  }
  return counts;
}

function byOverlay({ pulses, onsets }: Rhythm): Uint32Array {
  const counts = new Uint32Array((pulses >> 1) + 1);
  const words = (pulses + 31) >> 5;
  // Bit i is pulse i of one round, then of a second, so that a shifted reading never runs off the end.
  const once = new Uint32Array(words + 1);
  const twice = new Uint32Array(2 * words + 2);
  const set = (bits: Uint32Array, pulse: number): void => {
    bits[pulse >> 5] = (bits[pulse >> 5] as number) | (1 << (pulse & 31));
  };
  for (const onset of onsets) {
    const pulse = onset % pulses;
    set(once, pulse);
    set(twice, pulse);
    set(twice, pulse + pulses);
  }
  for (let distance = 1; 2 * distance <= pulses; distance++) {
    const ahead = distance >> 5;
    const by = distance & 31;
    let pairs = 0;
    for (let word = 0; word < words; word++) {
      const low = (twice[word + ahead] as number) >>> by;
      const high = by === 0 ? 0 : (twice[word + ahead + 1] as number) << (32 - by);
      pairs += bitsIn((once[word] as number) & (low | high));
    }
    // Half-way round each pair is met from both its ends.
    counts[distance] = 2 * distance === pulses ? pairs / 2 : pairs;
  }
  return counts;
}

function bitsIn(word: number): number {
  let bits = word - ((word >>> 1) & 0x55555555);
  bits = (bits & 0x33333333) + ((bits >>> 2) & 0x33333333);
  return Math.imul((bits + (bits >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}

/** The sum over all pairs of what their distance is worth. */
function overPairs(rhythm: Rhythm, worth: (distance: number) => number): number {
  const counts = spread(rhythm);
  let sum = 0;
  for (let distance = 1; distance < counts.length; distance++) {
    const pairs = counts[distance] as number;
    if (pairs > 0) sum += pairs * worth(distance);
  }
  return sum;
}

/**
 * The sum of the straight lines between every two onsets, the pulses standing on a circle of radius 1. Greatest
 * where the onsets are spread most evenly. Toussaint, G. T. (2013), The Geometry of Musical Rhythm, CRC;
 * Demaine et al. (2009), Comput. Geom. 42:429-454.
 */
export const chordSum = (rhythm: Rhythm): number =>
  overPairs(rhythm, (distance) => 2 * Math.sin((Math.PI * distance) / rhythm.pulses));

/** The sum of the ways round between every two onsets, in pulses; coarser than the chords. Same sources. */
export const arcSum = (rhythm: Rhythm): number => overPairs(rhythm, (distance) => distance);

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
  return own.length === 0 || `,${own.join()},${own.join()},`.includes(`,${even.join()},`);
}

/** Rhythmic oddity: no two onsets part the cycle in halves. Toussaint 2013, Fig. 37.11. */
export const hasOddity = (rhythm: Rhythm): boolean =>
  rhythm.pulses % 2 === 1 || spread(rhythm)[rhythm.pulses / 2] === 0;

/** Deep: each distance that is there is there a different number of times. Toussaint 2013, Fig. 37.11. */
export function isDeep(rhythm: Rhythm): boolean {
  const there = spread(rhythm).filter((pairs) => pairs > 0);
  return new Set(there).size === there.length;
}

/** How many different intervals between neighbours there are. Toussaint 2013, Fig. 37.11. */
export const distinctIntervals = (rhythm: Rhythm): number => new Set(intervals(rhythm)).size;

/** How many different distances between any two onsets there are. Toussaint 2013, Fig. 17.13. */
export const distinctDistances = (rhythm: Rhythm): number =>
  spread(rhythm).reduce((kinds, pairs) => kinds + (pairs > 0 ? 1 : 0), 0);

/**
 * Normalised pairwise variability index of durations, in their order, not wrapped: the mean over neighbours of
 * 100·|a − b| / ((a + b)/2), 0 for equal durations, below 200. Null for fewer than two.
 *
 * Grabe, E. & Low, E. L. (2002); Daniele, J. R. & Patel, A. D. (2013), Music Perception 31(1):10-18;
 * Condit-Schultz, N. (2019), Music Perception 36(3):300-313; Toussaint 2013, Fig. 17.13 for rhythms.
 */
export function nPVI(durations: readonly number[]): number | null {
  if (durations.length < 2) return null;
  let sum = 0;
  for (let index = 1; index < durations.length; index++) {
    const [a, b] = [durations[index - 1] as number, durations[index] as number];
    sum += Math.abs(a - b) / ((a + b) / 2);
  }
  return (100 * sum) / (durations.length - 1);
}
