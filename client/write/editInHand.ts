/** What a key or a button does to the stroke or cell in hand: each is one edit, one undo step. */
import type { Cell, FaderState, Move, Stroke } from "../../schemas/routine.ts";
import { add, asLength, fraction, readFraction } from "../parts/music.ts";
import { inHand, keep, patternInHand } from "./inHand.ts";
import { asFader, asMove, changed, type Hand, itemsOf, withItems } from "./phrase.ts";

/** Changes the item in hand. */
export function edit(
  change: (items: readonly (Stroke | Cell)[], index: number) => readonly (Stroke | Cell)[],
  words: string,
): void {
  const pattern = patternInHand();
  if (pattern === null) return;
  const { hand } = inHand.value;
  const items = itemsOf(pattern, hand);
  const index = Math.min(inHand.value.index, items.length - 1);
  const after = change(items, index);
  if (after.length === 0) return;
  keep(withItems(pattern, hand, after), words);
}

export const kind = (name: Move | FaderState) => (): void => {
  const hand: Hand = name === "forward" || name === "back" || name === "hold" ? "record" : "fader";
  inHand.value = { hand, index: inHand.value.hand === hand ? inHand.value.index : 0 };
  edit(
    (items, index) =>
      items.map((item, at) =>
        at !== index
          ? item
          : hand === "record"
            ? asMove(item as Stroke, name as Move)
            : asFader(item as Cell, name as FaderState),
      ),
    `Make it ${name}`,
  );
};
export const step = (by: number) => (): void => {
  const pattern = patternInHand();
  if (pattern === null) return;
  const { hand, index } = inHand.value;
  const count = itemsOf(pattern, hand).length;
  inHand.value = { hand, index: (Math.min(index, count - 1) + by + count) % count };
};
export const longer = (by: 1 | -1) => (): void =>
  edit(
    (items, index) => {
      const now = readFraction(items[index]!.length ?? 1)!;
      const next =
        by === 1
          ? add(now, fraction(1))
          : now.n > now.d
            ? fraction(now.n - now.d, now.d)
            : fraction(now.n, now.d * 2n);
      return changed(items as Stroke[], index, { length: asLength(next) });
    },
    by === 1 ? "Make it longer" : "Make it shorter",
  );
export const travel = (by: number) => (): void =>
  edit((items, index) => {
    const item = items[index]!;
    if (!("move" in item) || item.move === "hold" || item.shape === "released") return items;
    return changed(items as Stroke[], index, {
      travel: Math.min(3600, Math.max(5, (item.travel ?? 45) + by)),
    });
  }, "Change the travel");
export const times = (by: number) => (): void =>
  edit((items, index) => {
    const item = items[index]!;
    const canSplit =
      "move" in item
        ? item.move !== "hold" && item.shape !== "released"
        : item.fader === "click" || item.fader === "pulse";
    const next = Math.min(64, Math.max(1, (item.times ?? 1) + by));
    return canSplit ? changed(items as Stroke[], index, { times: next === 1 ? undefined : next }) : items;
  }, "Split it");

export function mirror(): void {
  const pattern = patternInHand();
  if (pattern === null) return;
  const strokes = pattern.record.strokes.map((stroke) =>
    stroke.move === "hold" ? stroke : asMove(stroke, stroke.move === "forward" ? "back" : "forward"),
  );
  keep(withItems(pattern, "record", strokes), "Exchange forward and back");
}
