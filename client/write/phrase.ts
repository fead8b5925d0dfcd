/** The phrase in hand by itself: in a section of its own, as many bars as it takes to come round. Pure. */
import type { Edit, SingleEdit } from "../../schemas/edit.ts";
import {
  type Cell,
  MOST_SECTIONS,
  type Pattern,
  type Routine,
  type Section,
  type Stroke,
} from "../../schemas/routine.ts";
import { divide, type Fraction, fraction } from "../../schemas/fraction.ts";
import { barUnits, readFraction } from "../parts/music.ts";
import { lengthsOf } from "../routine/moving.ts";

/** Id of the section; no routine of the folder keeps it. */
export const ALONE_ID = "phrase-by-itself";
/** More bars than this are not shown at once. */
export const MOST_BARS = 64;

/** Bars until the phrase starts on the bar again. */
export function comeRoundBars(pattern: Pattern, meter: string): number {
  const { combined } = lengthsOf(pattern);
  const bar = barUnits(meter);
  let [a, b]: [number, number] = [combined, bar];
  while (b !== 0) [a, b] = [b, a % b];
  return combined / a;
}

/** The section that lends metre, tempo, swing and beat: the first that plays the phrase, or the routine's first. */
export const homeOf = (routine: Routine, pattern: string): Section =>
  routine.sections.find(({ placements }) =>
    placements.some((p) => "pattern" in p && p.pattern === pattern),
  ) ?? routine.sections[0]!;

/** @param home lends metre, tempo, swing and beat */
export function aloneSection(home: Section, pattern: Pattern): Section {
  const { beatContinues: _, beatRests: __, ...rest } = home;
  return {
    ...rest,
    id: ALONE_ID,
    name: "Phrase by itself",
    tempo: tempoOf(home),
    bars: Math.min(MOST_BARS, Math.max(1, comeRoundBars(pattern, home.meter))),
    placements: [{ pattern: pattern.id, bar: 1 }],
  };
}
export const tempoOf = ({ tempo }: Section): number => (typeof tempo === "number" ? tempo : tempo.from);

/** A draft may have no more sections than a file: the last ones leave it, so that so many fit that are only looked at. */
export const roomFor = (count: number, { sections }: Routine): readonly SingleEdit[] =>
  sections.slice(Math.max(1, MOST_SECTIONS - count)).map(({ id }) => ({ kind: "remove-section", id }));

/** To be drafted: the pattern as it is in hand, and the section that shows it. */
export const aloneEdit = (routine: Routine, home: Section, pattern: Pattern): Edit => ({
  kind: "batch",
  edits: [
    ...roomFor(1, routine),
    { kind: "change-pattern", id: pattern.id, set: { record: pattern.record, fader: pattern.fader } },
    { kind: "add-section", section: aloneSection(home, pattern), before: null },
  ],
});

/** @param hears the phrase too, not the beat alone */
export const aloneRoutine = (routine: Routine, home: Section, pattern: Pattern, hears = true): Routine => ({
  ...routine,
  patterns: [pattern],
  sections: [{ ...aloneSection(home, pattern), ...(hears ? {} : { placements: [] }) }],
});

export type Hand = "record" | "fader";
export type Item = Stroke | Cell;
/** Steps. */
export const lengthOf = (item: Item): Fraction => readFraction(item.length ?? 1) ?? fraction(1);
export const canSplit = (item: Item): boolean =>
  "move" in item
    ? item.move !== "hold" && item.shape !== "released"
    : item.fader === "click" || item.fader === "pulse";
/**
 * How long a click is closed or a pulse open, steps: where nothing is said a click is closed for a quarter of a step, or
 * of its split where that is shorter, and a pulse is open for half of its split.
 */
export function gateOf(cell: Cell): Fraction {
  const split = divide(lengthOf(cell), fraction(cell.times ?? 1));
  if (cell.fader === "pulse") return readFraction(cell.openFor ?? "") ?? divide(split, fraction(2));
  const quarter = fraction(1, 4);
  const ofSplit = divide(split, fraction(4));
  return (
    readFraction(cell.closedFor ?? "") ?? (ofSplit.n * quarter.d < quarter.n * ofSplit.d ? ofSplit : quarter)
  );
}

export const itemsOf = (pattern: Pattern, hand: Hand): readonly Item[] =>
  hand === "record" ? pattern.record.strokes : pattern.fader.cells;
export const withItems = (pattern: Pattern, hand: Hand, items: readonly Item[]): Pattern =>
  hand === "record"
    ? { ...pattern, record: { ...pattern.record, strokes: items as readonly Stroke[] } }
    : { ...pattern, fader: { ...pattern.fader, cells: items as readonly Cell[] } };

/** One item with fields set, or taken out where the value is undefined. */
export function changed<Item extends Stroke | Cell>(
  items: readonly Item[],
  index: number,
  set: Partial<Record<string, unknown>>,
): readonly Item[] {
  return items.map((item, at) =>
    at === index
      ? (Object.fromEntries(
          Object.entries({ ...item, ...set }).filter(([, value]) => value !== undefined),
        ) as Item)
      : item,
  );
}

/** A stroke of another kind keeps what it may have: a hold has no travel, shape or times. */
export const asMove = (stroke: Stroke, move: Stroke["move"]): Stroke => {
  const length = stroke.length === undefined ? {} : { length: stroke.length };
  if (move === "hold") return { move, ...length };
  return move === "back" && stroke.shape === "released" ? { move, ...length } : { ...stroke, move };
};
export const asFader = (cell: Cell, fader: Cell["fader"]): Cell => {
  const length = cell.length === undefined ? {} : { length: cell.length };
  const times =
    cell.times === undefined || fader === "open" || fader === "closed" ? {} : { times: cell.times };
  return { fader, ...length, ...times };
};

/** With one taken from a place to another. */
export function moved<One>(items: readonly One[], from: number, to: number): readonly One[] {
  const rest = items.filter((_, at) => at !== from);
  return [...rest.slice(0, to), items[from]!, ...rest.slice(to)];
}
