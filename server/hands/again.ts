/**
 * A placement compiled again. What it is made from is mostly the same as the last time, although something about its
 * section is not; and all that a tempo or the pitch slider can change is how far the released platter turns.
 */
import type { Degrees } from "../../schemas/units.ts";
import { compilePlacement, type PlacementEvents, type PlacementInput } from "./placement.ts";

/** What the platter was asked for, and its answer. */
interface Turn {
  readonly start: number;
  readonly end: number;
  readonly degrees: Degrees;
}

export interface Made {
  /** Without the platter, which would hold the routine of that time. */
  readonly from: Omit<PlacementInput, "turned">;
  readonly turns: readonly Turn[];
  readonly events: PlacementEvents;
}

/** Of a pattern only its hands count, and of what was before it only how the hands were left. */
const sameInput = (a: Made["from"], b: Made["from"]): boolean =>
  a.pattern.record === b.pattern.record &&
  a.pattern.fader === b.pattern.fader &&
  a.recordFrom === b.recordFrom &&
  a.faderFrom === b.faderFrom &&
  a.duration === b.duration &&
  // One zero is not the other: the same input must give the same bits.
  Object.is(a.position, b.position) &&
  a.before.faderOpen === b.before.faderOpen &&
  a.before.moved === b.before.moved &&
  a.placement === b.placement &&
  a.offset === b.offset;

/** `last` itself, where the same would come out. */
export function compileAgain(input: PlacementInput, last: Made | null | undefined): Made {
  const asBefore = last != null && sameInput(last.from, input);
  if (asBefore && last.turns.every(({ start, end, degrees }) => Object.is(input.turned(start, end), degrees)))
    return last;
  const { turned, ...from } = input;
  const turns: Turn[] = [];
  const events = compilePlacement({
    ...from,
    turned(start, end) {
      const degrees = turned(start, end) as Degrees;
      turns.push({ start, end, degrees });
      return degrees;
    },
  });
  return { from, turns, events };
}
