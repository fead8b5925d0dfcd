/** Dragging on the rows of a phrase: an edge makes longer, up makes more travel, along moves it in its cycle. */
import type { Pattern } from "../../schemas/routine.ts";
import { DEFAULT_TRAVEL } from "../../schemas/routine.ts";
import { fraction } from "../../schemas/fraction.ts";
import { add, asLength } from "../parts/music.ts";
import { type Bench, type Found, foundAt, stepsDragged } from "./benchPlaces.ts";
import { scrolls } from "../parts/tapped.ts";
import { inHand, keep, letGoOfTrying, tryOut } from "./inHand.ts";
import { changed, type Item, itemsOf, lengthOf, moved, withItems } from "./phrase.ts";

type Way = "length" | "travel" | "place";
/** Pixels that tell a drag from a click. */
const SLACK = 5;
/** Pixels up for 5 degrees more. */
const PIXELS = 4;

/** A whole step, or with Shift a quarter of one. */
function lengthened(item: Item, steps: number, fine: boolean): Record<string, unknown> {
  const parts = fine ? 4 : 1;
  const next = add(lengthOf(item), fraction(Math.round(steps * parts), parts));
  return next.n > 0n ? { length: next.n === next.d ? undefined : asLength(next) } : {};
}
function turnedMore(item: Item, pixels: number): Record<string, unknown> {
  if (!("move" in item) || item.move === "hold" || item.shape === "released") return {};
  const now = item.travel ?? DEFAULT_TRAVEL;
  const to = Math.min(3600, Math.max(5, now + Math.round(pixels / PIXELS) * 5));
  return { travel: to === DEFAULT_TRAVEL ? undefined : to };
}

const WORDS: Readonly<Record<Way, string>> = {
  length: "Drag it longer or shorter",
  travel: "Drag it to another travel",
  place: "Move it in the cycle",
};

/**
 * Follows the pointer until it is let go: a live draft, then one edit. Escape lets go of it.
 * @param way what the drag does; left out: what its first pixels say
 * @param area the element over the rows, from whose left top `foundAt` counts
 */
export function drag(
  event: PointerEvent,
  pattern: Pattern,
  bench: Bench,
  found: Found,
  area: { readonly element: Element; readonly left: number },
  way?: Way,
): void {
  const { hand, index, round } = found;
  const items = itemsOf(pattern, hand);
  const item = items[index]!;
  let going: Way | undefined = way ?? (found.edge ? "length" : undefined);
  let latest: Pattern | null = null;
  inHand.value = { hand, index };
  const move = (pointer: PointerEvent): void => {
    const right = pointer.clientX - event.clientX;
    const up = event.clientY - pointer.clientY;
    if (latest === null && Math.max(Math.abs(right), Math.abs(up)) < SLACK) return;
    if (going === undefined && scrolls(event) && Math.abs(up) >= Math.abs(right)) return;
    going ??= Math.abs(right) > Math.abs(up) ? "place" : "travel";
    if (going === "place") {
      const box = area.element.getBoundingClientRect();
      const point = { x: pointer.clientX - box.left - area.left, y: pointer.clientY - box.top };
      const over = foundAt(pattern, bench, point, 0);
      if (over === null || over.hand !== hand) return;
      latest = withItems(pattern, hand, moved(items, index, over.index));
      inHand.value = { hand, index: over.index };
    } else {
      const set =
        going === "length"
          ? lengthened(item, stepsDragged(pattern, hand, bench, right, round), pointer.shiftKey)
          : turnedMore(item, up);
      latest = withItems(pattern, hand, changed(items, index, set));
    }
    tryOut(latest);
  };
  const over = (): void => {
    removeEventListener("pointermove", move);
    removeEventListener("pointerup", end);
    removeEventListener("pointercancel", cancel);
    removeEventListener("keydown", letGo, true);
  };
  const cancel = (): void => {
    over();
    inHand.value = { hand, index };
    letGoOfTrying();
  };
  const letGo = (key: KeyboardEvent): void => {
    if (key.key !== "Escape") return;
    key.preventDefault();
    key.stopPropagation();
    cancel();
  };
  const end = (): void => {
    over();
    if (latest !== null && going !== undefined) keep(latest, WORDS[going]);
  };
  addEventListener("pointermove", move);
  addEventListener("pointerup", end);
  addEventListener("pointercancel", cancel);
  addEventListener("keydown", letGo, true);
}
