/**
 * A rhythm that was tapped over the beat, as a cycle of strokes or cells. Pure: times in, steps out, with how far each
 * tap was from its step, so that the quantising can be seen before it is taken.
 */
import type { Cell, FaderState, Move, Stroke } from "../../../schemas/routine.ts";
import type { Hand, Item } from "../phrase.ts";

export interface Tap {
  /** Units from the start of the first bar that was heard, loops counted through. */
  readonly at: number;
  /** Where it was let go; null: not yet, or not known. */
  readonly until: number | null;
  /** What was tapped; null: whatever comes next (record), a click (fader). */
  readonly name: Move | FaderState | null;
}

/** Where a place in a loop lies when rounds are counted on. @param expected about there, units */
export const countedOn = (at: number, loop: number, expected: number): number =>
  at + Math.round((expected - at) / loop) * loop;

/** The nearest step, and how far the place is after it (before: negative), units. */
export function onGrid(at: number, step: number): { readonly steps: number; readonly off: number } {
  // Not −0, which is another value to whoever compares.
  const steps = Math.round(at / step) + 0;
  return { steps, off: at - steps * step };
}

/** How far all taps are late together: the middle one of their distances from the grid, units. */
export function lateness(taps: readonly Tap[], step: number): number {
  const offs = taps.map(({ at }) => onGrid(at, step).off).sort((a, b) => a - b);
  return offs.length === 0 ? 0 : offs[Math.floor(offs.length / 2)]!;
}

/** The mean distance from a grid, what all are late together taken off, units. */
export function spreadOn(taps: readonly Tap[], step: number): number {
  if (taps.length === 0) return 0;
  const late = lateness(taps, step);
  const sum = taps.reduce((all, { at }) => all + Math.abs(onGrid(at - late, step).off), 0);
  return sum / taps.length;
}

export interface Wish {
  /** Units. */
  readonly step: number;
  readonly bar: number;
  /** Units that are taken off every tap. */
  readonly late: number;
  /** The cycle starts at the first tap, or on the bar line before it. */
  readonly from: "tap" | "bar";
  /** Steps; null: from the tap, up to the last tap, which begins the next round; from the bar, whole bars. */
  readonly length: number | null;
}

export interface Placed {
  readonly tap: Tap;
  /** Step of the cycle, from 0. */
  readonly step: number;
  /** Units after the step; before: negative. */
  readonly off: number;
  /** One that was there already, or the one that closes the cycle: it makes no stroke or cell of its own. */
  readonly spare: boolean;
}
export interface Rhythm {
  readonly placed: readonly Placed[];
  /** Steps. */
  readonly length: number;
}

/** @returns null where there are too few taps to make a cycle */
export function rhythmOf(taps: readonly Tap[], wish: Wish): Rhythm | null {
  const { step, bar, late, from } = wish;
  const gridded = taps.map((tap) => ({ tap, ...onGrid(tap.at - late, step) }));
  const [first] = gridded;
  if (first === undefined) return null;
  const least = Math.min(...gridded.map(({ steps }) => steps));
  const most = Math.max(...gridded.map(({ steps }) => steps));
  const perBar = bar / step;
  const origin = from === "tap" ? least : Math.floor(Math.floor(least / perBar + 1e-9) * perBar + 0.5);
  const ofItself =
    from === "tap" ? most - least : Math.round(Math.ceil((most + 1 - origin) / perBar - 1e-9) * perBar);
  const length = wish.length ?? ofItself;
  if (length < 1) return null;
  const taken = new Set<number>();
  const placed = gridded.map(({ tap, steps, off }) => {
    const at = (((steps - origin) % length) + length) % length;
    const spare = taken.has(at);
    taken.add(at);
    return { tap, step: at, off, spare };
  });
  return { placed, length };
}

/**
 * The cycle: each tap begins a stroke or cell that lasts until the next one, or as long as it was held (then a hold, or
 * closed). What lies before the first is a hold, or closed.
 * @param step units
 */
export function cycleOf(rhythm: Rhythm, hand: Hand, lasts: "next" | "held", step: number): readonly Item[] {
  const marks = rhythm.placed.filter(({ spare }) => !spare).sort((a, b) => a.step - b.step);
  const items: Item[] = [];
  const rest = (steps: number): void => {
    if (steps > 0)
      items.push(hand === "record" ? { move: "hold", ...long(steps) } : { fader: "closed", ...long(steps) });
  };
  rest(marks[0]?.step ?? rhythm.length);
  let forward = true;
  for (const [index, { tap, step: from }] of marks.entries()) {
    const room = (marks[index + 1]?.step ?? rhythm.length) - from;
    const held = tap.until === null ? room : Math.max(1, Math.round((tap.until - tap.at) / step));
    const steps = lasts === "held" ? Math.min(room, held) : room;
    if (hand === "record") {
      const move: Stroke["move"] = (tap.name as Move | null) ?? (forward ? "forward" : "back");
      if (move !== "hold") forward = move === "back";
      items.push({ move, ...long(steps) });
    } else {
      const fader: Cell["fader"] = (tap.name as FaderState | null) ?? (lasts === "held" ? "open" : "click");
      items.push({ fader, ...long(steps) });
    }
    rest(room - steps);
  }
  return items;
}
const long = (steps: number): { length?: number } => (steps === 1 ? {} : { length: steps });
