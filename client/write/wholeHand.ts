/**
 * A whole hand changed at once: turned in its cycle, shifted against the other, mirrored, faster or slower, counted in
 * another step, written out twice. Pure: from a pattern to a pattern.
 */
import type { Cell, Pattern, Stroke } from "../../schemas/routine.ts";
import { divide, type Fraction, fraction, fractionText, multiply } from "../../schemas/fraction.ts";
import { add, asLength, readFraction } from "../parts/music.ts";
import { asMove, gateOf, type Hand, itemsOf, lengthOf, withItems } from "./phrase.ts";

const isLess = (a: Fraction, b: Fraction): boolean => a.n * b.d < b.n * a.d;
const minus = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.d - b.n * a.d, a.d * b.d);
const lengthField = (length: Fraction): { length?: number | string } =>
  length.n === length.d ? {} : { length: asLength(length) };

/** Starts so many strokes or cells later in its cycle. */
export function turned(pattern: Pattern, hand: Hand, by: number): Pattern {
  const items = itemsOf(pattern, hand);
  const from = by % items.length;
  return withItems(pattern, hand, [...items.slice(from), ...items.slice(0, from)]);
}

/** Forward and back exchanged. A released stroke only goes forward: mirrored it becomes a plain one back. */
export const mirrored = (pattern: Pattern): Pattern =>
  withItems(
    pattern,
    "record",
    pattern.record.strokes.map((stroke) =>
      stroke.move === "hold" ? stroke : asMove(stroke, stroke.move === "forward" ? "back" : "forward"),
    ),
  );

/** The same lengths of a step that is `factor` times as long: 1/2 plays twice as fast. */
export function stretched(pattern: Pattern, hand: Hand, factor: Fraction): Pattern {
  const step = readFraction(pattern[hand].step) ?? fraction(1, 16);
  return { ...pattern, [hand]: { ...pattern[hand], step: fractionText(multiply(step, factor)) } };
}

/** Counted in another step, every length written anew so that nothing sounds different. */
export function countedIn(pattern: Pattern, hand: Hand, step: string): Pattern {
  const factor = divide(
    readFraction(pattern[hand].step) ?? fraction(1, 16),
    readFraction(step) ?? fraction(1, 16),
  );
  const scaled = (length: number | string): number | string =>
    asLength(multiply(readFraction(length) ?? fraction(1), factor));
  const items = itemsOf(pattern, hand).map((item) => {
    const { length: _, ...rest } = item;
    const closure =
      "fader" in item && item.fader === "click" && item.closedFor === undefined
        ? // Where nothing is said the closure follows the step: say it, for the step changes.
          { closedFor: asLength(multiply(gateOf(item), factor)) }
        : {};
    const gates =
      "fader" in item
        ? {
            ...(item.closedFor === undefined ? closure : { closedFor: scaled(item.closedFor) }),
            ...(item.openFor === undefined ? {} : { openFor: scaled(item.openFor) }),
          }
        : {};
    return { ...rest, ...lengthField(multiply(lengthOf(item), factor)), ...gates } as Stroke | Cell;
  });
  const other = withItems(pattern, hand, items);
  return { ...other, [hand]: { ...other[hand], step } };
}

/** The cycle written out twice, so that the second round can differ. */
export function twice(pattern: Pattern, hand: Hand): Pattern {
  const items = itemsOf(pattern, hand);
  return withItems(pattern, hand, [...items, ...items]);
}

/** A cell in plain parts that can be cut anywhere: a pulse is an open and a closed one, a roll single clicks. */
function plain(cell: Cell): readonly Cell[] {
  if (cell.fader === "open" || cell.fader === "closed") return [cell];
  const count = cell.times ?? 1;
  const split = divide(lengthOf(cell), fraction(count));
  const gate = gateOf(cell);
  const one: readonly Cell[] =
    cell.fader === "click"
      ? [{ fader: "click", ...lengthField(split), closedFor: asLength(gate) }]
      : [
          { fader: "open", ...lengthField(gate) },
          { fader: "closed", ...lengthField(minus(split, gate)) },
        ];
  return Array.from({ length: count }, () => one).flat();
}

/** In two at `at` steps from its start. What follows the opening of a click is simply open. */
const cut = (cell: Cell, at: Fraction): readonly [Cell, Cell] => {
  const { length: _, ...rest } = cell;
  return [
    { ...rest, ...lengthField(at) },
    { fader: cell.fader === "click" ? "open" : cell.fader, ...lengthField(minus(lengthOf(cell), at)) },
  ];
};

/**
 * The fader hand so many steps later against the record hand (negative: earlier), what is at the end of the cycle
 * coming first. Whole cells stay as they are; a cell that lies across the place of the cut is written in parts that
 * sound the same.
 */
export function shifted(pattern: Pattern, steps: Fraction): Pattern {
  const { cells } = pattern.fader;
  const total = cells.reduce((sum, cell) => add(sum, lengthOf(cell)), fraction(0));
  const over = divide(steps, total);
  const whole = over.n >= 0n ? over.n / over.d : -((-over.n + over.d - 1n) / over.d);
  const later = minus(steps, multiply(total, fraction(whole)));
  if (later.n === 0n) return pattern;
  const at = minus(total, later);
  const before: Cell[] = [];
  const after: Cell[] = [];
  let from = fraction(0);
  const place = (cell: Cell, whole: boolean): void => {
    const to = add(from, lengthOf(cell));
    if (!isLess(at, to)) before.push(cell);
    else if (!isLess(from, at)) after.push(cell);
    else if (whole && cell.fader !== "open" && cell.fader !== "closed") {
      for (const part of plain(cell)) place(part, false);
      return;
    } else {
      const [first, second] = cut(cell, minus(at, from));
      before.push(first);
      after.push(second);
    }
    from = to;
  };
  for (const cell of cells) place(cell, true);
  return withItems(pattern, "fader", [...after, ...before]);
}
