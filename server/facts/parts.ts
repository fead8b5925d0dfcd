/**
 * What is what inside a longer phrase: stretches that are a scratch with a settled name by themselves, and stretches
 * that are another of the user's patterns, once through from its start. Stretches lie within one combined length
 * from the pattern's start; those of one name that follow each other are one.
 */
import type { NamedPart } from "../../schemas/facts.ts";
import type { Pattern } from "../../schemas/routine.ts";
import { fractionText } from "../../schemas/fraction.ts";
import { inRecordSteps } from "./combined.ts";
import { combinedUnits } from "../routine/layout.ts";
import { openBetween, phraseOf } from "./phrase.ts";
import { isSame } from "./tolerance.ts";
import { called } from "../routine/called.ts";
import { isOpenThroughout, type UnrolledMove, unrolled } from "./unrolled.ts";

interface Part {
  readonly name: string;
  readonly start: number;
  readonly end: number;
}

const lengthOf = ({ start, end }: UnrolledMove): number => end - start;
const part = (name: string, moves: readonly UnrolledMove[]): Part => ({
  name,
  start: (moves[0] as UnrolledMove).start,
  end: (moves[moves.length - 1] as UnrolledMove).end,
});

/** Cuts a list where two neighbours do not belong together. */
function runs<Item>(list: readonly Item[], together: (before: Item, here: Item) => boolean): Item[][] {
  const result: Item[][] = [];
  for (const [index, item] of list.entries()) {
    const last = result[result.length - 1];
    if (last !== undefined && together(list[index - 1] as Item, item)) last.push(item);
    else result.push([item]);
  }
  return result;
}

/** Runs of equal moves that alternate under an open fader. */
function babies(moves: readonly UnrolledMove[]): Part[] {
  const fits = (move: UnrolledMove): boolean =>
    move.direction !== "hold" && move.shape !== "released" && isOpenThroughout(move);
  const alternate = (a: UnrolledMove, b: UnrolledMove): boolean =>
    fits(a) &&
    fits(b) &&
    a.direction !== b.direction &&
    lengthOf(a) === lengthOf(b) &&
    isSame(a.travel, -b.travel);
  return runs(moves, alternate)
    .filter(({ length }) => length >= 2)
    .map((run) => part("baby", run));
}

/** A way out in some strokes and the same way home in some, more than two in all, under an open fader. */
function tears(moves: readonly UnrolledMove[]): Part[] {
  const parts: Part[] = [];
  const fits = (move: UnrolledMove): boolean => isOpenThroughout(move) && move.shape !== "released";
  for (const open of runs(moves, (a, b) => fits(a) && fits(b))) {
    const moving = open.filter(({ direction }) => direction !== "hold");
    if (moving.length < 3) continue;
    const ways = runs(moving, (a, b) => a.direction === b.direction);
    for (const [index, home] of ways.entries()) {
      const out = ways[index - 1];
      if (out === undefined || Math.max(out.length, home.length) < 2) continue;
      const far = (way: readonly UnrolledMove[]): number => way.reduce((sum, { travel }) => sum + travel, 0);
      if (isSame(far(out), -far(home))) parts.push(part("tear", [...out, ...home]));
    }
  }
  return parts;
}

function chirps(moves: readonly UnrolledMove[]): Part[] {
  return moves.flatMap((forward, index) => {
    const back = moves[index + 1];
    const is =
      back !== undefined &&
      forward.direction === "forward" &&
      back.direction === "back" &&
      forward.opensOpen &&
      !forward.endsOpen &&
      !back.opensOpen &&
      back.endsOpen;
    return is ? [part("chirp", [forward, back])] : [];
  });
}

const transforms = (moves: readonly UnrolledMove[]): Part[] =>
  moves.flatMap((move) =>
    move.direction !== "hold" && !move.opensOpen && !move.endsOpen && move.openings >= 2
      ? [part("transform", [move])]
      : [],
  );

const sameMove = (a: UnrolledMove, b: UnrolledMove): boolean =>
  lengthOf(a) === lengthOf(b) && a.direction === b.direction && a.shape === b.shape && a.travel === b.travel;

/** The open stretches in [from, to), from its start, as text. */
function openings(pattern: Pattern, from: number, to: number): string {
  return [...openBetween(phraseOf(pattern).fader, from, to)]
    .map(({ start, end }) => `${Math.max(start, from) - from}-${Math.min(end, to) - from}`)
    .join(" ");
}

function others(pattern: Pattern, moves: readonly UnrolledMove[], other: Pattern): Part[] {
  const wanted = unrolled(other);
  if (wanted === null || wanted.length >= moves.length) return [];
  const length = Number(combinedUnits(other));
  const heard = openings(other, 0, length);
  const parts: Part[] = [];
  for (let index = 0; index + wanted.length <= moves.length; index++) {
    if (!wanted.every((move, ahead) => sameMove(move, moves[index + ahead] as UnrolledMove))) continue;
    const { start } = moves[index] as UnrolledMove;
    if (openings(pattern, start, start + length) === heard)
      parts.push({ name: called(other), start, end: start + length });
  }
  return parts;
}

/** Those of one name that touch or overlap made one. */
function merged(parts: readonly Part[]): Part[] {
  const result: { name: string; start: number; end: number }[] = [];
  for (const { name, start, end } of parts) {
    const last = result[result.length - 1];
    if (last !== undefined && last.name === name && start <= last.end) last.end = Math.max(last.end, end);
    else result.push({ name, start, end });
  }
  return result;
}

/** @param beside the user's other patterns that may stand in this one */
export function partsOf(pattern: Pattern, beside: readonly Pattern[]): NamedPart[] {
  const moves = unrolled(pattern);
  if (moves === null) return [];
  const length = Number(combinedUnits(pattern));
  const torn = merged(tears(moves));
  // The turn within a tear is no baby of its own.
  const outside = ({ start, end }: Part): boolean =>
    !torn.some((tear) => tear.start <= start && end <= tear.end);
  return [
    ...merged(babies(moves)).filter(outside),
    ...torn,
    ...merged(chirps(moves)),
    ...merged(transforms(moves)),
    ...beside.flatMap((other) => merged(others(pattern, moves, other))),
  ]
    .filter(({ start, end }) => end - start < length)
    .sort((a, b) => a.start - b.start || b.end - a.end)
    .map(({ name, start, end }) => ({
      name,
      from: fractionText(inRecordSteps(start, pattern)),
      to: fractionText(inRecordSteps(end, pattern)),
    }));
}
