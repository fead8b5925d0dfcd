/**
 * Settled trade names of a phrase, whichever point of its cycle it starts from (common practice, no source). They
 * go by what is heard, and by whether the fader is open when a stroke starts and ends.
 *
 * The record's cycle is taken in its shortest form, a split stroke as its moves: F B F B is F B. Over one combined
 * length a move that starts at a meets the fader at a modulo g, and at every such place (see phrase.ts), so that
 * what holds for every round is decided without going through them.
 *
 * A pattern alone has no tempo; whether a baby is a scribble is said where the tempo is known.
 */
import type { Pattern } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import type { CycleMove } from "../hands/record.ts";
import { gcdOf } from "../time/fraction.ts";
import { isMoving, type Phrase, phraseOf } from "./phrase.ts";
import { period } from "./ring.ts";
import { recordRing } from "./sameness.ts";
import { atMost, isSame } from "./tolerance.ts";
import { Memory } from "../../schemas/memory.ts";

export type TradeName = "baby" | "scribble" | "tear" | "chirp" | "transform";

/** A baby of at least so many moves a second, each of at most so many degrees, is a scribble. */
const SCRIBBLE_MOVES = 8;
const SCRIBBLE_DEGREES = 45;

/** The phrase with the record's cycle in its shortest form: the same to the ear, and all names go by it. */
interface Shortest extends Pick<Phrase, "fader" | "common"> {
  readonly moves: readonly CycleMove[];
}

const known = new Memory<Pattern, Shortest>();

function shortest(pattern: Pattern): Shortest {
  let phrase = known.get(pattern);
  if (phrase === undefined) {
    phrase = workedOut(pattern);
    known.set(pattern, phrase);
  }
  return phrase;
}

function workedOut(pattern: Pattern): Shortest {
  const { record, fader } = phraseOf(pattern);
  const length = period(recordRing(pattern));
  // A record that is held throughout has no shortest round; its first hold stands for it.
  const moves = record.moves.filter(({ start }) => start === 0 || start < length);
  return { moves, fader, common: gcdOf(length, fader.length) };
}

/** Whether a number that is `rest` modulo g lies in [from, to). */
const meets = (from: number, to: number, rest: number, g: number): boolean =>
  Math.floor((to - 1 - rest) / g) > Math.floor((from - 1 - rest) / g);

/** Whether the fader is open, in some round, in the unit at `at` of the record's cycle. */
function everOpen({ fader, common }: Shortest, at: number): boolean {
  return fader.alwaysOpen || fader.openings.some(({ start, end }) => meets(start, end, at, common));
}

/** Whether it is closed there in some round. */
function everClosed({ fader, common }: Shortest, at: number): boolean {
  const { openings, alwaysOpen, length } = fader;
  if (alwaysOpen || openings.length === 0) return !alwaysOpen;
  return openings.some(({ end }, index) =>
    meets(end, openings[index + 1]?.start ?? (openings[0] as { start: number }).start + length, at, common),
  );
}

/** One forward and one back and nothing else; null for any other cycle. */
function pair(moves: readonly CycleMove[]): { forward: CycleMove; back: CycleMove } | null {
  const [a, b] = moves;
  if (moves.length !== 2 || a === undefined || b === undefined) return null;
  if (a.direction === "forward" && b.direction === "back") return { forward: a, back: b };
  return a.direction === "back" && b.direction === "forward" ? { forward: b, back: a } : null;
}

const lengthOf = ({ start, end }: CycleMove): number => end - start;

function isBaby({ fader, moves }: Shortest): boolean {
  const two = pair(moves);
  return (
    two !== null &&
    fader.alwaysOpen &&
    two.forward.shape !== "released" &&
    lengthOf(two.forward) === lengthOf(two.back) &&
    isSame(two.forward.travel, -two.back.travel)
  );
}

function isTear({ fader, moves }: Shortest): boolean {
  const forward = moves.filter(({ direction }) => direction === "forward");
  const back = moves.filter(({ direction }) => direction === "back");
  if (!fader.alwaysOpen || moves.some(({ shape }) => shape === "released")) return false;
  const far = (list: readonly CycleMove[]): number =>
    list.reduce((sum, { travel }) => sum + Math.abs(travel), 0);
  return (
    forward.length > 0 &&
    back.length > 0 &&
    Math.max(forward.length, back.length) >= 2 &&
    isSame(far(forward), far(back))
  );
}

function isChirp(phrase: Shortest): boolean {
  const two = pair(phrase.moves);
  return (
    two !== null &&
    !everClosed(phrase, two.forward.start) &&
    !everOpen(phrase, two.forward.end - 1) &&
    !everOpen(phrase, two.back.start) &&
    !everClosed(phrase, two.back.end - 1)
  );
}

/** Every stroke that is heard is closed at both ends and has two or more openings in it. */
function isTransform(phrase: Shortest): boolean {
  const heard = phrase.moves.filter((move) => isMoving(move) && isHeard(phrase, move));
  return (
    heard.length > 0 &&
    heard.every(
      (move) =>
        !everOpen(phrase, move.start) && !everOpen(phrase, move.end - 1) && !everOneOpening(phrase, move),
    )
  );
}

function isHeard({ fader, common }: Shortest, { start, end }: CycleMove): boolean {
  return (
    fader.alwaysOpen ||
    fader.openings.some((opening) => meets(opening.start - (end - start) + 1, opening.end, start, common))
  );
}

/** Whether in some round exactly one opening lies within a move at whose ends the fader is always closed. */
function everOneOpening({ fader, common }: Shortest, { start, end }: CycleMove): boolean {
  const { openings, length } = fader;
  const duration = end - start;
  return openings.some((opening, index) => {
    const before =
      openings[index - 1]?.start ?? (openings[openings.length - 1] as { start: number }).start - length;
    const after = openings[index + 1]?.start ?? (openings[0] as { start: number }).start + length;
    // The move may begin after the opening before, so late that it reaches this one, so early that it misses the next.
    const from = Math.max(before + 1, opening.start - duration + 1);
    const to = Math.min(opening.start + 1, after - duration + 1);
    return from < to && meets(from, to, start, common);
  });
}

const named = new Memory<Pattern, readonly TradeName[]>();

/** The settled names of the endlessly repeating phrase, without those that need a tempo. */
export function tradeNames(pattern: Pattern): readonly TradeName[] {
  let names = named.get(pattern);
  if (names === undefined) {
    names = namesOf(shortest(pattern));
    named.set(pattern, names);
  }
  return names;
}

function namesOf(phrase: Shortest): TradeName[] {
  const names: TradeName[] = [];
  if (isBaby(phrase)) names.push("baby");
  if (isTear(phrase)) names.push("tear");
  if (isChirp(phrase)) names.push("chirp");
  if (isTransform(phrase)) names.push("transform");
  return names;
}

/**
 * Whether a baby is fast and short enough to be a scribble.
 *
 * @param tempo quarters a minute
 */
function isScribble(pattern: Pattern, tempo: number): boolean {
  const phrase = shortest(pattern);
  const [move] = phrase.moves;
  if (move === undefined || !isBaby(phrase)) return false;
  const movesASecond = (tempo * UNITS_PER_QUARTER) / (60 * lengthOf(move));
  return atMost(SCRIBBLE_MOVES, movesASecond) && atMost(Math.abs(move.travel), SCRIBBLE_DEGREES);
}

/** With the scribble's name after the baby's, which it is too. */
export const withScribble = (names: readonly TradeName[]): TradeName[] =>
  names.flatMap((name) => (name === "baby" ? [name, "scribble" as const] : [name]));

/** The trade names at a tempo. */
export const tradeNamesAt = (pattern: Pattern, tempo: number): readonly TradeName[] =>
  isScribble(pattern, tempo) ? withScribble(tradeNames(pattern)) : tradeNames(pattern);
