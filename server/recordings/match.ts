/**
 * Matching what was played to what was meant: a maximum matching within a window, as in the published onset measure
 * (mir_eval onset.f_measure; Raffel et al. 2014, "mir_eval: a transparent implementation of common MIR metrics",
 * ISMIR). Among the matchings of most pairs the one of least total error is taken, so that the errors shown are the
 * player's and not the matcher's.
 */

/** Index into the reference, and into what was played. */
export interface Pair {
  readonly reference: number;
  readonly played: number;
}

/** The window is a half width, inclusive, and rounded as the published measure rounds it: heard ± window. */
const within = (meant: number, heard: number, window: number): boolean =>
  meant >= heard - window && meant <= heard + window;

/** What the table says of a reference event and the played events from `first` on that it may pair with. */
interface Row {
  readonly first: number;
  /** Most pairs, and their least total error, of this and earlier references with the played events before `first + i`. */
  readonly pairs: Int32Array;
  readonly errors: Float64Array;
  /** 1 where this reference is paired with the played event `first + i − 1` in that best. */
  readonly paired: Uint8Array;
}

const START: Row = {
  first: 0,
  pairs: new Int32Array(1),
  errors: new Float64Array(1),
  paired: new Uint8Array(1),
};

/** An entry of a row for the played events before `end`, which may lie beyond those that it lists. */
const entry = (row: Row, end: number): number => Math.min(Math.max(end - row.first, 0), row.pairs.length - 1);

/**
 * Windows are of one width and both lists in order, so some best matching crosses nowhere: a table over both in
 * order finds it, of which only the played events within the window of each reference need be kept.
 *
 * @param reference, played seconds, ascending
 * @param window seconds, half width, inclusive
 * @returns pairs in ascending order, as many as can be
 */
export function match(reference: readonly number[], played: readonly number[], window: number): Pair[] {
  const rows: Row[] = [];
  let before = START;
  let first = 0;
  let end = 0;
  for (const meant of reference) {
    while (
      first < played.length &&
      (played[first] as number) < meant &&
      !within(meant, played[first] as number, window)
    )
      first++;
    end = Math.max(end, first);
    while (end < played.length && within(meant, played[end] as number, window)) end++;
    const size = end - first + 1;
    const row: Row = {
      first,
      pairs: new Int32Array(size),
      errors: new Float64Array(size),
      paired: new Uint8Array(size),
    };
    for (let at = 0; at < size; at++) {
      // This reference left out …
      const without = entry(before, first + at);
      let pairs = before.pairs[without] as number;
      let error = before.errors[without] as number;
      if (at > 0) {
        // … or the last of the played events left out …
        const earlier = row.pairs[at - 1] as number;
        if (earlier > pairs || (earlier === pairs && (row.errors[at - 1] as number) < error)) {
          pairs = earlier;
          error = row.errors[at - 1] as number;
        }
        // … or the two paired.
        const rest = entry(before, first + at - 1);
        const withPair = (before.pairs[rest] as number) + 1;
        const withError =
          (before.errors[rest] as number) + Math.abs((played[first + at - 1] as number) - meant);
        if (withPair > pairs || (withPair === pairs && withError < error)) {
          pairs = withPair;
          error = withError;
          row.paired[at] = 1;
        }
      }
      row.pairs[at] = pairs;
      row.errors[at] = error;
    }
    rows.push(row);
    before = row;
  }

  const pairs: Pair[] = [];
  let last = played.length;
  for (let index = rows.length - 1; index >= 0; index--) {
    const row = rows[index] as Row;
    const above = index === 0 ? START : (rows[index - 1] as Row);
    let at = entry(row, last);
    for (;;) {
      const without = entry(above, row.first + at);
      if (row.paired[at] === 1) {
        pairs.push({ reference: index, played: row.first + at - 1 });
        last = row.first + at - 1;
        break;
      }
      if (row.pairs[at] === above.pairs[without] && row.errors[at] === above.errors[without]) {
        last = row.first + at;
        break;
      }
      at--;
    }
  }
  return pairs.reverse();
}
