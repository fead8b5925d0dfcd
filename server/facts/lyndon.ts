/**
 * Cycles in their shortest form, each once however it is turned: Lyndon words. A word over the kinds 0 … k−1 is one
 * where it comes before all its turns in the order of the dictionary, and then it is no shorter word repeated.
 */

/** The Möbius function. */
function moebius(number: number): number {
  let rest = number;
  let sign = 1;
  for (let prime = 2; prime * prime <= rest; prime++) {
    if (rest % prime !== 0) continue;
    rest /= prime;
    if (rest % prime === 0) return 0;
    sign = -sign;
  }
  return rest > 1 ? -sign : sign;
}

/** How many there are of a length (from 1) over so many kinds (from 1): OEIS A001037 for two kinds. */
export function lyndonCount(kinds: number, length: number): bigint {
  let sum = 0n;
  for (let divisor = 1; divisor <= length; divisor++)
    if (length % divisor === 0) sum += BigInt(moebius(divisor)) * BigInt(kinds) ** BigInt(length / divisor);
  return sum / BigInt(length);
}

/**
 * A part of all the words: those with the given beginning. Parts with beginnings of one length, in order, are all the
 * words in order, so that a listing can be shared out and taken up again anywhere.
 */
export interface Beginning {
  /** The first kinds of the words. */
  readonly word: readonly number[];
  /** Length of the longest Lyndon word that `word` starts with such that the rest of it repeats it. */
  readonly period: number;
}

const EMPTY: Beginning = { word: [], period: 1 };

/** The kinds that can follow: below the one a period back there is no word, at it the period stays, above it grows. */
function* continued({ word, period }: Beginning, kinds: number): Generator<Beginning> {
  const least = word.length < period ? 0 : (word[word.length - period] as number);
  for (let kind = least; kind < kinds; kind++) {
    const grows = word.length === 0 || kind > least;
    yield { word: [...word, kind], period: grows ? word.length + 1 : period };
  }
}

/** Beginnings of so many kinds (0: the one empty beginning), in the order of the dictionary; lazy. */
export function* beginnings(kinds: number, length: number, start = EMPTY): Generator<Beginning> {
  if (start.word.length === length) yield start;
  else for (const longer of continued(start, kinds)) yield* beginnings(kinds, length, longer);
}

/**
 * All words of a length over so many kinds that have a beginning, in the order of the dictionary. Lazy; the word that
 * is handed out is one buffer, rewritten for the next.
 *
 * Fredricksen, H. & Maiorana, J. (1978), Discrete Mathematics 23:207-210; the recursion as in Ruskey, F., Savage, C.
 * & Wang, T. (1992), Generating necklaces, J. Algorithms 13:414-430, here with a stack of its own.
 */
export function* lyndonWords(
  kinds: number,
  length: number,
  { word: first, period }: Beginning = EMPTY,
): Generator<Uint8Array> {
  const word = new Uint8Array(length);
  word.set(first);
  const given = first.length;
  /** The period of the first so many kinds. */
  const periods = new Uint8Array(length + 1);
  periods[given] = period;
  const leastAt = (at: number): number =>
    at === 0 ? 0 : at < given ? 0 : (word[at - (periods[at] as number)] as number);
  if (given === length) {
    if (period === length) yield word;
    return;
  }
  let at = given;
  word[at] = leastAt(at);
  for (;;) {
    const kind = word[at] as number;
    if (kind >= kinds) {
      if (at === given) return;
      at--;
      word[at] = (word[at] as number) + 1;
      continue;
    }
    periods[at + 1] = at === 0 || kind > leastAt(at) ? at + 1 : (periods[at] as number);
    if (at === length - 1) {
      if (periods[length] === length) yield word;
      word[at] = kind + 1;
    } else {
      at++;
      word[at] = leastAt(at);
    }
  }
}
