/**
 * Whether a phrase is its own mirror: it has sounds, and some shift in time of the endlessly repeating phrase gives
 * the same starts and ends with forward and back exchanged.
 *
 * Decided without listing the phrase, which may be too long to list. Let the record's cycle have P units, the
 * fader's Q, and g = gcd(P, Q). Over the combined length the record's unit x meets the fader's unit y exactly if
 * x ≡ y modulo g. Call a remainder modulo g HEARD if somewhere in it the record moves, and somewhere in it the
 * fader is open. Within a heard remainder every x meets every y, so there the phrase shifted is the phrase mirrored
 * exactly if the record shifted is the record mirrored and the fader shifted is the fader; elsewhere nothing is
 * heard and nothing counts. Each of these is one ring that must come onto another, and all that may turn it so is
 * a first turn and any number of periods. Where two strokes of one direction follow each other, their border is
 * heard too; it is a unit that meets the inside of an opening, and is treated likewise.
 */

import { gcd } from "../../schemas/fraction.ts";
import type { Pattern } from "../../schemas/routine.ts";
import type { CycleMove } from "../hands/record.ts";
import { lcm } from "../time/fraction.ts";
import { countSounds, isMoving, phraseOf, type RepeatingFader } from "./phrase.ts";
import { type Change, period, type Ring, ringOf, turnOnto } from "./ring.ts";
import { OPPOSITE } from "./sameness.ts";

/** A stretch of whole units; the end is not included and may lie past the circle's end. */
interface Span {
  readonly start: number;
  readonly end: number;
}

/** A stretch of the cycle and what it is there. */
interface Piece extends Span {
  readonly is: string;
}

/** Stretches brought into [0, g), in order, merged. */
function remainders(spans: readonly Span[], g: number): Span[] {
  const cut: Span[] = [];
  for (const { start, end } of spans) {
    if (end - start >= g) return [{ start: 0, end: g }];
    if (end <= start) continue;
    const from = start % g;
    const to = from + (end - start);
    if (to <= g) cut.push({ start: from, end: to });
    else cut.push({ start: from, end: g }, { start: 0, end: to - g });
  }
  cut.sort((a, b) => a.start - b.start);
  const merged: { start: number; end: number }[] = [];
  for (const { start, end } of cut) {
    const last = merged[merged.length - 1];
    if (last !== undefined && start <= last.end) last.end = Math.max(last.end, end);
    else merged.push({ start, end });
  }
  return merged;
}

/** What two lists have in common; both in order and merged. */
function both(a: readonly Span[], b: readonly Span[]): Span[] {
  const result: Span[] = [];
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    const [one, other] = [a[i] as Span, b[j] as Span];
    const start = Math.max(one.start, other.start);
    const end = Math.min(one.end, other.end);
    if (start < end) result.push({ start, end });
    if (one.end < other.end) i++;
    else j++;
  }
  return result;
}

/** The first unit at or after x whose remainder modulo g is among `heard`, which is not empty. */
function firstHeard(heard: readonly Span[], g: number, x: number): number {
  const rest = x % g;
  let low = 0;
  let high = heard.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((heard[middle] as Span).end > rest) high = middle;
    else low = middle + 1;
  }
  const span = heard[low];
  if (span === undefined) return x - rest + g + (heard[0] as Span).start;
  return x + Math.max(0, span.start - rest);
}

/** The ring of what `pieces` are at heard remainders alone: it changes at the first heard unit of something new. */
function heardRing(length: number, pieces: readonly Piece[], heard: readonly Span[], g: number): Ring {
  const changes: Change[] = [];
  for (const { start, end, is } of pieces) {
    const at = firstHeard(heard, g, start);
    if (at < end) changes.push({ at, is });
  }
  return ringOf(
    length,
    changes.map(({ at, is }) => ({ at: at % length, is })).sort((a, b) => a.at - b.at),
  );
}

/** The heard remainders as a ring of their own. */
function remainderRing(heard: readonly Span[], g: number): Ring {
  const changes: Change[] = [];
  for (const { start, end } of heard) changes.push({ at: start, is: "heard" }, { at: end, is: "" });
  if (changes.length === 2 && heard[0]?.start === 0 && heard[0].end === g) {
    return { length: g, changes: [], always: "heard" };
  }
  // A stretch up to the end goes on at the beginning.
  const wraps = heard[0]?.start === 0 && heard[heard.length - 1]?.end === g;
  return { length: g, changes: wraps ? changes.slice(1, -1) : wrapEnd(changes, g), always: "" };
}

/** A change at the very end stands at the beginning. */
function wrapEnd(changes: Change[], g: number): Change[] {
  const last = changes[changes.length - 1];
  return last !== undefined && last.at === g ? [{ at: 0, is: last.is }, ...changes.slice(0, -1)] : changes;
}

/** Open stretches and what lies between them, once around; `less` units are taken from each start. */
function faderPieces({ length, openings, alwaysOpen }: RepeatingFader, less: 0 | 1): Piece[] {
  if (alwaysOpen) return [{ start: 0, end: length, is: "open" }];
  return openings.flatMap(({ start, end }, index) => [
    { start: start + less, end, is: "open" },
    { start: end, end: (openings[index + 1]?.start ?? (openings[0] as Span).start + length) + less, is: "" },
  ]);
}

const isOpenPiece = ({ is }: Piece): boolean => is === "open";

export function isMirrored(pattern: Pattern): boolean {
  const phrase = phraseOf(pattern);
  const { record, fader, common: g } = phrase;
  if (countSounds(phrase) === 0n) return false;

  const open = faderPieces(fader, 0);
  const heard = both(remainders(record.moves.filter(isMoving), g), remainders(open.filter(isOpenPiece), g));
  const moves = record.moves.map(({ start, end, direction }) => ({ start, end, is: direction as string }));
  const mirrored = record.moves.map(({ start, end, direction }) => ({ start, end, is: OPPOSITE[direction] }));
  const ring = heardRing(record.length, moves, heard, g);
  const turn = turnOnto(ring, heardRing(record.length, mirrored, heard, g));
  if (turn === null) return false;

  const still = [remainderRing(heard, g), heardRing(fader.length, open, heard, g)];
  const borders = record.moves.filter((move, index) => {
    const before = record.moves[(index + record.moves.length - 1) % record.moves.length] as CycleMove;
    return isMoving(move) && before.direction === move.direction;
  });
  if (borders.length > 0) {
    const inside = faderPieces(fader, 1);
    const marks = borders.map(({ start }) => ({ start, end: start + 1, is: "border" }));
    const between = marks.map(({ end }, index) => ({
      start: end,
      end: marks[index + 1]?.start ?? (marks[0] as Piece).start + record.length,
      is: "",
    }));
    const heardBorders = both(remainders(marks, g), remainders(inside.filter(isOpenPiece), g));
    if (heardBorders.length > 0) {
      const around = [...marks, ...between].sort((a, b) => a.start - b.start);
      still.push(
        remainderRing(heardBorders, g),
        heardRing(record.length, around, heardBorders, g),
        heardRing(fader.length, inside, heardBorders, g),
      );
    }
  }
  // A shift s must be `turn` modulo the record's period, and nothing modulo what must stay as it is.
  const stays = still.reduce((all, one) => lcm(all, BigInt(period(one))), 1n);
  return BigInt(turn) % gcd(stays, BigInt(period(ring))) === 0n;
}
