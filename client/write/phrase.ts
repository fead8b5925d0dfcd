/** The phrase in hand by itself: in a section of its own, as many bars as it takes to come round. Pure. */
import type { Edit } from "../../schemas/edit.ts";
import type { Cell, Pattern, Routine, Section, Stroke } from "../../schemas/routine.ts";
import { barUnits } from "../parts/music.ts";
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

export function aloneSection(routine: Routine, pattern: Pattern): Section {
  const home = homeOf(routine, pattern.id);
  const { beatContinues: _, beatRests: __, ...rest } = home;
  return {
    ...rest,
    id: ALONE_ID,
    name: "Phrase by itself",
    tempo: typeof home.tempo === "number" ? home.tempo : home.tempo.from,
    bars: Math.min(MOST_BARS, Math.max(1, comeRoundBars(pattern, home.meter))),
    placements: [{ pattern: pattern.id, bar: 1 }],
  };
}

/** To be drafted: the pattern as it is in hand, and the section that shows it. */
export const aloneEdit = (routine: Routine, pattern: Pattern): Edit => ({
  kind: "batch",
  edits: [
    { kind: "change-pattern", id: pattern.id, set: { record: pattern.record, fader: pattern.fader } },
    { kind: "add-section", section: aloneSection(routine, pattern), before: null },
  ],
});

export const aloneRoutine = (routine: Routine, pattern: Pattern): Routine => ({
  ...routine,
  patterns: [pattern],
  sections: [aloneSection(routine, pattern)],
});

export type Hand = "record" | "fader";
export const itemsOf = (pattern: Pattern, hand: Hand): readonly (Stroke | Cell)[] =>
  hand === "record" ? pattern.record.strokes : pattern.fader.cells;
export const withItems = (pattern: Pattern, hand: Hand, items: readonly (Stroke | Cell)[]): Pattern =>
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
