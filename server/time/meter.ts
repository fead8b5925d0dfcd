/** Metres: how long a bar is, and how long a beat of it. */
import { UNITS_PER_WHOLE, type Units } from "../../schemas/units.ts";

export interface Meter {
  readonly upper: number;
  readonly lower: number;
  /** Units in a bar, and in a beat (one of the lower number). */
  readonly bar: Units;
  readonly beat: Units;
}

const LOWER = new Set([1, 2, 4, 8, 16, 32]);

/** Reads "7/8"; null where a number is out of bounds (upper 1 to 64, lower 1, 2, 4, 8, 16, 32). */
export function parseMeter(text: string): Meter | null {
  const [upper = 0, lower = 0] = text.split("/").map(Number);
  if (!(upper >= 1 && upper <= 64 && LOWER.has(lower))) return null;
  const beat = UNITS_PER_WHOLE / lower;
  return { upper, lower, beat: beat as Units, bar: (upper * beat) as Units };
}

/** Of a routine that was checked. */
export function meterOf(section: { readonly meter: string }): Meter {
  const meter = parseMeter(section.meter);
  if (meter === null) throw new Error(`metre ${section.meter} was not checked`);
  return meter;
}
