/**
 * The neighbours of a phrase: all that differ from it by one change (one stroke, one cell, one step longer or shorter,
 * the hands shifted against each other), and what the change does to length, come-round and difficulty. A way to walk
 * from what one can play to what one cannot play yet.
 *
 * A neighbour that is the phrase itself shifted in time, or another neighbour, is left out, and so is one that the
 * routine file would not allow.
 */
import type { Neighbour, Neighbours, PhraseChange } from "../../schemas/neighbours.ts";
import { type Cell, FaderState, Move, type Pattern, type Stroke } from "../../schemas/routine.ts";
import { patternProblems } from "../routine/checkPattern.ts";
import { combinedUnits } from "../routine/layout.ts";
import { fraction, fractionText } from "../../schemas/fraction.ts";
import { parseFraction } from "../time/fraction.ts";
import type { Meter } from "../time/meter.ts";
import { combinedSteps } from "./combined.ts";
import { comeRound } from "./comeRound.ts";
import { difficultyOf } from "./difficulty.ts";
import { keysOf } from "./sameness.ts";

interface Changed {
  readonly change: PhraseChange;
  readonly says: string;
  readonly pattern: Pattern;
}

/** A copy of a list with one item changed, or without it. */
const changed = <Item>(list: readonly Item[], index: number, ...to: readonly Item[]): Item[] =>
  list.toSpliced(index, 1, ...to);

/** Without the fields that its new kind cannot have. */
function asMove(stroke: Stroke, move: Move): Stroke {
  const { length, travel, times, shape } = stroke;
  const kept = length === undefined ? {} : { length };
  if (move === "hold") return { move, ...kept };
  const way = shape === undefined || shape === "released" ? {} : { shape };
  return {
    move,
    ...kept,
    ...(travel === undefined ? {} : { travel }),
    ...way,
    ...(times === undefined ? {} : { times }),
  };
}

function asCell({ length, times }: Cell, fader: FaderState): Cell {
  const splits = fader === "click" || fader === "pulse";
  return {
    fader,
    ...(length === undefined ? {} : { length }),
    ...(times === undefined || !splits ? {} : { times }),
  };
}

/** One step more or less; null where nothing would be left. */
function resized<Item extends Stroke | Cell>(item: Item, by: 1 | -1): Item | null {
  const { n, d } = parseFraction(item.length ?? 1);
  const length = fraction(n + BigInt(by) * d, d);
  if (length.n <= 0n) return null;
  const text = fractionText(length);
  const { length: _, ...rest } = item;
  return (text === "1" ? rest : { ...rest, length: length.d === 1n ? Number(text) : text }) as Item;
}

function* strokeChanges(pattern: Pattern): Generator<Changed> {
  const { strokes } = pattern.record;
  const having = (list: readonly Stroke[]): Pattern => ({
    ...pattern,
    record: { ...pattern.record, strokes: list },
  });
  for (const [index, stroke] of strokes.entries()) {
    for (const to of Move.options) {
      if (to === stroke.move) continue;
      const says = `stroke ${index + 1} becomes ${to}`;
      yield {
        change: { what: "stroke", index, to },
        says,
        pattern: having(changed(strokes, index, asMove(stroke, to))),
      };
    }
  }
  yield* sizeChanges("record", "stroke", strokes, having);
}

function* cellChanges(pattern: Pattern): Generator<Changed> {
  const { cells } = pattern.fader;
  const having = (list: readonly Cell[]): Pattern => ({
    ...pattern,
    fader: { ...pattern.fader, cells: list },
  });
  for (const [index, cell] of cells.entries()) {
    for (const to of FaderState.options) {
      if (to === cell.fader) continue;
      const says = `cell ${index + 1} becomes ${to}`;
      yield {
        change: { what: "cell", index, to },
        says,
        pattern: having(changed(cells, index, asCell(cell, to))),
      };
    }
  }
  yield* sizeChanges("fader", "cell", cells, having);
  for (let index = 1; index < cells.length; index++) {
    yield {
      change: { what: "shifted", index },
      says: `the fader starts with cell ${index + 1}`,
      pattern: having([...cells.slice(index), ...cells.slice(0, index)]),
    };
  }
}

function* sizeChanges<Item extends Stroke | Cell>(
  hand: "record" | "fader",
  called: string,
  items: readonly Item[],
  having: (list: readonly Item[]) => Pattern,
): Generator<Changed> {
  for (const [index, item] of items.entries()) {
    const longer = resized(item, 1) as Item;
    yield {
      change: { what: "longer", hand, index },
      says: `${called} ${index + 1} one step longer`,
      pattern: having(changed(items, index, longer)),
    };
    const shorter = resized(item, -1);
    if (shorter === null && items.length === 1) continue;
    yield {
      change: { what: "shorter", hand, index },
      says: shorter === null ? `without ${called} ${index + 1}` : `${called} ${index + 1} one step shorter`,
      pattern: having(shorter === null ? changed(items, index) : changed(items, index, shorter)),
    };
  }
}

function facts(pattern: Pattern, meter: Meter): Neighbours["here"] {
  const { bars, repeats } = comeRound(0, meter.bar, combinedUnits(pattern), null);
  return {
    combinedSteps: fractionText(combinedSteps(pattern)),
    comeRoundBars: bars,
    comeRoundRepeats: repeats,
    difficulty: difficultyOf(pattern),
  };
}

/** Of a checked pattern, against bars of a metre. */
export function neighboursOf(pattern: Pattern, meter: Meter): Neighbours {
  const seen = new Set([keysOf(pattern).same]);
  const neighbours: Neighbour[] = [];
  for (const changes of [strokeChanges(pattern), cellChanges(pattern)]) {
    for (const one of changes) {
      if (patternProblems(one.pattern).length > 0) continue;
      const { same } = keysOf(one.pattern);
      if (seen.has(same)) continue;
      seen.add(same);
      neighbours.push({ ...one, ...facts(one.pattern, meter) });
    }
  }
  const rank = ({ difficulty }: Neighbour): number => difficulty ?? Number.MAX_VALUE;
  return { here: facts(pattern, meter), neighbours: neighbours.sort((a, b) => rank(a) - rank(b)) };
}
