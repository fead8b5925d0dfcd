/**
 * The space of combinations: record cycles and fader cycles of equal steps, one kind a step, each in its shortest
 * form and once however it is turned, in every way that the one can stand under the other. Two combinations are the
 * same if shifting one in time gives the other, so cycles of m and n steps stand in gcd(m, n) different ways.
 *
 * The space is walked in blocks, small enough to be held and to be shared out: all record cycles with one beginning
 * under all fader cycles with one beginning. The order of the listing is by block (record length, fader length, record
 * beginning, fader beginning), and within it by record cycle, fader cycle and phase.
 */
import type { Range, Space } from "../../schemas/find.ts";
import { gcdOf } from "../time/fraction.ts";
import { type Beginning, beginnings, lyndonCount } from "./lyndon.ts";

/** At most so many cycles of a hand in a block. */
const BLOCK = 1024;

/** Plain data, so that a block can be sent to a worker thread. */
export interface Block {
  /** From 0, in the order of the listing. */
  readonly index: number;
  /** Steps of the two cycles. */
  readonly record: number;
  readonly fader: number;
  readonly recordBeginning: Beginning;
  readonly faderBeginning: Beginning;
}

const lengthsOf = ({ from, to }: { readonly from: number; readonly to: number }): number[] =>
  Array.from({ length: to - from + 1 }, (_, index) => from + index);

/** The exact number of combinations: gcd(m, n) × L(m) × L(n), summed over the lengths; L counts Lyndon words. */
export function countOf({ record, fader, strokes, cells }: Space): bigint {
  let sum = 0n;
  for (const m of lengthsOf(record)) {
    const records = lyndonCount(strokes.length, m);
    for (const n of lengthsOf(fader)) sum += BigInt(gcdOf(m, n)) * records * lyndonCount(cells.length, n);
  }
  return sum;
}

/** How many steps of a cycle its beginning must name, so that no more than a block's cycles share it. */
function namedSteps(kinds: number, length: number): number {
  const free = kinds < 2 ? length : Math.floor(Math.log(BLOCK) / Math.log(kinds) + 1e-9);
  return Math.max(0, length - free);
}

/** Every block, in the order of the listing; lazy. */
export function* blocksOf({ record, fader, strokes, cells }: Space): Generator<Block> {
  let index = 0;
  for (const m of lengthsOf(record)) {
    if (lyndonCount(strokes.length, m) === 0n) continue;
    for (const n of lengthsOf(fader)) {
      if (lyndonCount(cells.length, n) === 0n) continue;
      for (const recordBeginning of beginnings(strokes.length, namedSteps(strokes.length, m))) {
        for (const faderBeginning of beginnings(cells.length, namedSteps(cells.length, n))) {
          yield { index, record: m, fader: n, recordBeginning, faderBeginning };
          index++;
        }
      }
    }
  }
}

/** At most how many combinations a block holds; quick, not exact. */
export function sizeOf({ record, fader }: Block, { strokes, cells }: Space): number {
  const shared = (kinds: number, length: number): number => kinds ** (length - namedSteps(kinds, length));
  return gcdOf(record, fader) * shared(strokes.length, record) * shared(cells.length, fader);
}

export const isWithin = (value: number, range: Range): boolean => value >= range.from && value <= range.to;
