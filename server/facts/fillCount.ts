/**
 * How many sequences of groups fill a gap exactly: compositions with parts from a list, order counting. With
 * w(0) = 1, w(p) is the sum of w(p − length) over the groups that may end at p; only the last so many are kept,
 * as the numbers grow by digits with the gap.
 */

/** Whole numbers of one common part of a step; lengths that are equal are different groups all the same. */
export interface Gap {
  /** From 1. */
  readonly size: number;
  /** From 1 each. */
  readonly lengths: readonly number[];
  readonly pins: readonly Pin[];
}

/** At `at` (0 to the gap's size, both included) one group ends and the next starts. */
export interface Pin {
  readonly at: number;
  /** Index of the group that must start there, or must end there. */
  readonly starts?: number;
  readonly ends?: number;
}

/** Whether a group may stand at a place: it fits, runs over no pin, and is the one its pins ask for. */
export type Allows = (group: number, start: number) => boolean;

export function allowsOf({ size, lengths, pins }: Gap): Allows {
  const byPlace = new Map<number, Pin[]>();
  for (const pin of pins) byPlace.set(pin.at, [...(byPlace.get(pin.at) ?? []), pin]);
  const places = [...byPlace.keys()].sort((a, b) => a - b);
  // The first pin after each start, so that the many questions of the counting are quick.
  const nextPin = new Int32Array(size + 1).fill(size);
  let index = places.length - 1;
  for (let at = size - 1; at >= 0; at--) {
    while (index >= 0 && (places[index] as number) > at) index--;
    nextPin[at] = Math.min(places[index + 1] ?? size, size);
  }
  return (group, start) => {
    const end = start + (lengths[group] as number);
    if (end > (nextPin[start] as number)) return false;
    return (
      (byPlace.get(start)?.every(({ starts }) => starts === undefined || starts === group) ?? true) &&
      (byPlace.get(end)?.every(({ ends }) => ends === undefined || ends === group) ?? true)
    );
  };
}

/** Exact, however large. */
export function fillCount(gap: Gap): bigint {
  const { size, lengths } = gap;
  const allows = allowsOf(gap);
  const kept = Math.min(size, Math.max(...lengths)) + 1;
  const ways: bigint[] = new Array(kept).fill(0n);
  ways[0] = 1n;
  for (let at = 1; at <= size; at++) {
    let sum = 0n;
    for (const [group, length] of lengths.entries()) {
      const start = at - length;
      if (start >= 0 && allows(group, start)) sum += ways[start % kept] as bigint;
    }
    ways[at % kept] = sum;
  }
  return ways[size % kept] as bigint;
}
