/**
 * A ring: what changes where on a circle of whole units. Two rings are the same up to a shift if turning one gives
 * the other; the turns that do so are one of them plus any number of the ring's own periods.
 */

export interface Change {
  readonly at: number;
  /** What holds from here to the next change. */
  readonly is: string;
}

export interface Ring {
  /** Units around. */
  readonly length: number;
  /** In order, each from 0 to `length`; empty where nothing ever changes. */
  readonly changes: readonly Change[];
  /** What holds everywhere where nothing changes. */
  readonly always: string;
}

/** A ring of stretches that follow one another; neighbours that are alike are one where `joins` says so. */
export function ringOf(
  length: number,
  list: readonly Change[],
  joins: (is: string) => boolean = () => true,
): Ring {
  const changes = list.filter(({ is }, index) => {
    const before = list[index === 0 ? list.length - 1 : index - 1] as Change;
    return is !== before.is || !joins(is);
  });
  return { length, changes, always: list[0]?.is ?? "" };
}

/** Each change with the distance to the next: what is left of a ring when its position is forgotten. */
function tokens({ length, changes }: Ring): string[] {
  return changes.map(({ at, is }, index) => {
    const next = changes[index + 1]?.at ?? (changes[0] as Change).at + length;
    return `${is}>${next - at}`;
  });
}

/** Where `pattern` first stands in `text` from `from` on, or -1 (Knuth, Morris, Pratt 1977). */
function find(pattern: readonly string[], text: readonly string[], from: number): number {
  const back: number[] = [0];
  for (let index = 1, matched = 0; index < pattern.length; index++) {
    while (matched > 0 && pattern[index] !== pattern[matched]) matched = back[matched - 1] as number;
    if (pattern[index] === pattern[matched]) matched++;
    back.push(matched);
  }
  for (let index = from, matched = 0; index < text.length; index++) {
    while (matched > 0 && text[index] !== pattern[matched]) matched = back[matched - 1] as number;
    if (text[index] === pattern[matched]) matched++;
    if (matched === pattern.length) return index - matched + 1;
  }
  return -1;
}

/** The smallest turn above 0 that gives the ring itself; 1 where nothing ever changes. */
export function period(ring: Ring): number {
  if (ring.changes.length === 0) return 1;
  const once = tokens(ring);
  const index = find(once, [...once, ...once], 1);
  const { at } = ring.changes[index % once.length] as Change;
  return at - (ring.changes[0] as Change).at + (index === once.length ? ring.length : 0);
}

/** A turn of `ring`, from 0 to its length, that gives `other`; null where none does. */
export function turnOnto(ring: Ring, other: Ring): number | null {
  if (ring.length !== other.length || ring.changes.length !== other.changes.length) return null;
  if (ring.changes.length === 0) return ring.always === other.always ? 0 : null;
  const wanted = tokens(other);
  const index = find(tokens(ring), [...wanted, ...wanted], 0);
  if (index < 0) return null;
  const { at } = other.changes[index % wanted.length] as Change;
  return (((at - (ring.changes[0] as Change).at) % ring.length) + ring.length) % ring.length;
}

export interface Canonical {
  /** The same for rings that are the same up to a shift, one period long. */
  readonly tokens: readonly string[];
  /** Where on the ring those tokens begin. */
  readonly at: number;
  readonly period: number;
}

/** The ring from the least of its rotations (Booth 1980, in the two-finger form), cut to one period. */
export function canonical(ring: Ring): Canonical {
  const length = period(ring);
  if (ring.changes.length === 0) return { tokens: [ring.always], at: 0, period: length };
  const all = tokens(ring);
  const count = (all.length * length) / ring.length;
  const at = (index: number): string => all[index % count] as string;
  let best = 0;
  let other = 1;
  for (let same = 0; other < count && best < count && same < count; ) {
    const [a, b] = [at(best + same), at(other + same)];
    if (a === b) same++;
    else {
      if (a > b) best += same + 1;
      else other += same + 1;
      if (best === other) other++;
      same = 0;
    }
  }
  const first = Math.min(best, other);
  return {
    tokens: Array.from({ length: count }, (_, index) => at(first + index)),
    at: (ring.changes[first] as Change).at,
    period: length,
  };
}
