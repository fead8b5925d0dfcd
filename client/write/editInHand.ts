/** What a key or a button does to the stroke or cell in hand: each is one edit, one undo step. */
import { batch } from "@preact/signals";
import { DEFAULT_TRAVEL, type FaderState, type Move, type Stroke } from "../../schemas/routine.ts";
import { divide, type Fraction, fraction, multiply } from "../../schemas/fraction.ts";
import { add, asLength } from "../parts/music.ts";
import { said } from "../state/said.ts";
import { caretIn, inHand, keep, patternNow, toHand } from "./inHand.ts";
import {
  asFader,
  asMove,
  canSplit,
  changed,
  gateOf,
  type Hand,
  type Item,
  itemsOf,
  lengthOf,
  moved,
  withItems,
} from "./phrase.ts";

const MOST_ITEMS = 256;
const MOST_TIMES = 64;
const MOST_TRAVEL = 3600;
const LEAST_TRAVEL = 5;

/** @param what the items after it; the same ones where nothing can be done */
export function edit(what: (items: readonly Item[], index: number) => readonly Item[], words: string): void {
  const pattern = patternNow();
  if (pattern === null) return;
  const { hand, index } = caretIn(pattern);
  const items = itemsOf(pattern, hand);
  const after = what(items, index);
  if (after === items) return;
  if (after.length === 0) said.value = "Each hand needs at least one stroke or cell.";
  else if (after.length > MOST_ITEMS)
    said.value = `A hand has at most ${MOST_ITEMS} strokes or cells in its cycle.`;
  else keep(withItems(pattern, hand, after), words);
}

const handOf = (name: Move | FaderState): Hand =>
  name === "forward" || name === "back" || name === "hold" ? "record" : "fader";
const madeInto = (item: Item, name: Move | FaderState): Item =>
  "move" in item ? asMove(item, name as Move) : asFader(item, name as FaderState);
/** A new one, with the travel of the stroke before it, so that forward and back close. */
function fresh(name: Move | FaderState, before: Item | undefined): Item {
  if (handOf(name) === "fader") return { fader: name as FaderState };
  const travel = before !== undefined && "move" in before ? before.travel : undefined;
  return { move: name as Move, ...(travel === undefined || name === "hold" ? {} : { travel }) };
}

/** Makes the one in hand into it; just after typing, the next one, or one more at the end. */
export const kind = (name: Move | FaderState) => (): void => {
  batch(() => {
    toHand(handOf(name));
    const pattern = patternNow();
    if (pattern === null) return;
    const { hand, index, typed } = caretIn(pattern);
    const at = typed === true ? index + 1 : index;
    edit(
      (items) =>
        at < items.length
          ? items.map((item, i) => (i === at ? madeInto(item, name) : item))
          : [...items, fresh(name, items.at(-1))],
      `Make it ${name}`,
    );
    inHand.value = { hand, index: at, typed: true };
  });
};
/** One more after the one in hand. */
export const put = (name: Move | FaderState) => (): void => {
  batch(() => {
    toHand(handOf(name));
    const pattern = patternNow();
    if (pattern === null) return;
    const { hand, index } = caretIn(pattern);
    edit(
      (items) => [...items.slice(0, index + 1), fresh(name, items[index]), ...items.slice(index + 1)],
      `Put in ${name}`,
    );
    inHand.value = { hand, index: index + 1, typed: true };
  });
};
export const again = (): void => {
  batch(() => {
    edit(
      (items, index) => [...items.slice(0, index + 1), items[index]!, ...items.slice(index + 1)],
      "Put in another like it",
    );
    step(1)();
  });
};
/** @param then where the caret goes: 0 stays at the place, -1 goes to the one before */
export const takeOut = (then: 0 | -1) => (): void => {
  batch(() => {
    const pattern = patternNow();
    if (pattern === null) return;
    const { hand, index } = caretIn(pattern);
    edit((items) => items.filter((_, at) => at !== index), "Take one out");
    inHand.value = {
      hand,
      index: Math.max(0, index + then),
      ...(then === -1 && index > 0 ? { typed: true } : {}),
    };
  });
};
/** Exchanges it with its neighbour. */
export const shove = (by: 1 | -1) => (): void => {
  const pattern = patternNow();
  if (pattern === null) return;
  const { hand, index } = caretIn(pattern);
  const to = index + by;
  if (to < 0 || to >= itemsOf(pattern, hand).length) return;
  batch(() => {
    edit((items) => moved(items, index, to), "Move it in the cycle");
    inHand.value = { hand, index: to };
  });
};
export const step = (by: number) => (): void => {
  const pattern = patternNow();
  if (pattern === null) return;
  const { hand, index } = caretIn(pattern);
  const count = itemsOf(pattern, hand).length;
  inHand.value = { hand, index: (index + by + count) % count };
};
export const otherHand = (): void => toHand(inHand.value.hand === "record" ? "fader" : "record");

const withLength = (items: readonly Item[], index: number, length: Fraction): readonly Item[] =>
  changed(items, index, { length: length.n === length.d ? undefined : asLength(length) });
export const stepsLong = (steps: number) => (): void =>
  edit((items, index) => withLength(items, index, fraction(steps)), `Make it ${steps} long`);
export const longer = (by: 1 | -1) => (): void =>
  edit(
    (items, index) => {
      const now = lengthOf(items[index]!);
      if (by === 1) return withLength(items, index, add(now, fraction(1)));
      return now.n > now.d ? withLength(items, index, fraction(now.n - now.d, now.d)) : items;
    },
    by === 1 ? "Make it longer" : "Make it shorter",
  );
export const timesLength = (factor: Fraction, words: string) => (): void =>
  edit((items, index) => withLength(items, index, multiply(lengthOf(items[index]!), factor)), words);

export const travel = (by: number) => (): void =>
  edit((items, index) => {
    const item = items[index]!;
    if (!("move" in item) || item.move === "hold" || item.shape === "released") return items;
    const to = Math.min(MOST_TRAVEL, Math.max(LEAST_TRAVEL, (item.travel ?? DEFAULT_TRAVEL) + by));
    return changed(items, index, { travel: to === DEFAULT_TRAVEL ? undefined : to });
  }, "Change the travel");

export const times = (by: number) => (): void =>
  edit((items, index) => {
    const item = items[index]!;
    const next = Math.min(MOST_TIMES, Math.max(1, (item.times ?? 1) + by));
    return canSplit(item) ? changed(items, index, { times: next === 1 ? undefined : next }) : items;
  }, "Split it");

/** A released stroke moves by itself, so it has no travel and no split of its own. */
export const shaped = (shape: NonNullable<Stroke["shape"]>): Partial<Record<string, unknown>> =>
  shape === "released"
    ? { shape, travel: undefined, times: undefined }
    : { shape: shape === "eased" ? undefined : shape };
export const nextShape = (): void =>
  edit((items, index) => {
    const item = items[index]!;
    if (!("move" in item) || item.move === "hold") return items;
    const shapes =
      item.move === "forward" ? (["eased", "even", "released"] as const) : (["eased", "even"] as const);
    const now = shapes.findIndex((shape) => shape === (item.shape ?? "eased"));
    return changed(items, index, shaped(shapes[(now + 1) % shapes.length]!));
  }, "Change the shape");

/** The click's closure or the pulse's opening, an eighth of a step longer or shorter. */
export const gate = (by: 1 | -1) => (): void =>
  edit((items, index) => {
    const item = items[index]!;
    if (!("fader" in item) || !canSplit(item)) return items;
    const next = add(gateOf(item), fraction(by, 8));
    const split = divide(lengthOf(item), fraction(item.times ?? 1));
    const fits = next.n > 0n && next.n * split.d < split.n * next.d;
    return fits
      ? changed(items, index, { [item.fader === "pulse" ? "openFor" : "closedFor"]: asLength(next) })
      : items;
  }, "Change how long the fader is open or closed");
