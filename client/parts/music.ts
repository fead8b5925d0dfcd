/**
 * Exact positions and note values as the screens need them: fractions of a whole note to units and back, and their
 * names. The server checks everything again; here a fraction only has to become a place on the page.
 */
import { type Fraction, fraction, fractionText, gcd, multiply } from "../../schemas/fraction.ts";
import { UNITS_PER_WHOLE, type Units } from "../../schemas/units.ts";

const WHOLE = BigInt(UNITS_PER_WHOLE);

/** Reads "3/16", "2" or 2; null for anything else, and for a fraction over zero. */
export function readFraction(value: string | number): Fraction | null {
  const match = /^\s*(\d{1,9})(?:\s*\/\s*0*([1-9]\d{0,8}))?\s*$/.exec(String(value));
  return match === null ? null : fraction(BigInt(match[1]!), BigInt(match[2] ?? "1"));
}

export const add = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.d + b.n * a.d, a.d * b.d);
/** As the routine file writes a length: a whole number, or a fraction as text. */
export const asLength = (value: Fraction): number | string =>
  value.d === 1n ? Number(value.n) : fractionText(value);

/** The nearest whole number of units to a part of a whole note. */
export const unitsOf = (part: Fraction): Units =>
  Number((2n * part.n * WHOLE + part.d) / (2n * part.d)) as Units;
export const unitsOfText = (text: string | number): Units => unitsOf(readFraction(text) ?? fraction(0));
/** Units as a part of a whole note. */
export const partOfWhole = (position: number): Fraction => fraction(BigInt(Math.round(position)), WHOLE);

/** Units in a bar of "7/8". */
export const barUnits = (meter: string): Units => unitsOfText(meter);
/** Units in one of the metre's beats: its lower number. */
export const beatUnits = (meter: string): Units => unitsOfText(`1/${meter.split("/")[1] ?? "4"}`);

/** 1/16 … as a person counts them: "1", "1 1/4", "3 1/2", never on two lines, from the bar's start, in beats of the metre. */
export function countText(position: number, beat: number): string {
  const whole = Math.floor(position / beat);
  const rest = fraction(BigInt(Math.round(position - whole * beat)), BigInt(Math.round(beat)));
  return rest.n === 0n ? `${whole + 1}` : `${whole + 1}\u00a0${fractionText(rest)}`;
}

export type NoteNames = "sixteenth" | "semiquaver";
const FRACTION_NAMES: Readonly<Record<number, readonly [string, string]>> = {
  1: ["whole note", "semibreve"],
  2: ["half", "minim"],
  4: ["quarter", "crotchet"],
  8: ["eighth", "quaver"],
  16: ["sixteenth", "semiquaver"],
  32: ["thirty-second", "demisemiquaver"],
  64: ["sixty-fourth", "hemidemisemiquaver"],
};
const TUPLETS: Readonly<Record<number, string>> = {
  3: "triplet",
  5: "quintuplet",
  7: "septuplet",
  9: "nonuplet",
  11: "in elevens",
  13: "in thirteens",
};

/** So many in the time of the power of two below: 3 in 2, 5 in 4, 9 in 8, 13 in 8. */
const inTimeOf = (size: number): number => 2 ** Math.floor(Math.log2(size));

/** "1/24" → "sixteenth triplet" or "semiquaver triplet"; a step without a name stays a fraction. */
export function stepName(step: string, custom: NoteNames): string {
  const part = readFraction(step);
  if (part === null) return step;
  const named = (whole: Fraction): string | undefined =>
    whole.n === 1n ? FRACTION_NAMES[Number(whole.d)]?.[custom === "sixteenth" ? 0 : 1] : undefined;
  const plain = named(part);
  if (plain !== undefined) return plain;
  for (const [size, word] of Object.entries(TUPLETS)) {
    const name = named(multiply(part, fraction(Number(size), inTimeOf(Number(size)))));
    if (name !== undefined) return `${name} ${word}`;
  }
  return step;
}

/**
 * The steps that can be chosen, as fractions of a whole note: quarters to sixty-fourths, and the same in triplets to
 * thirteens, N in the time of the power of two below.
 */
export const STEPS: readonly string[] = [1, 3, 5, 7, 9, 11, 13].flatMap((size) =>
  [4, 8, 16, 32, 64].map((lower) => fractionText(fraction(inTimeOf(size), lower * size))),
);

/** 45 → "1½ hours (45°)": a sticker on the label, read as a clock face; 30 degrees an hour. */
export function hoursText(degrees: number): string {
  const hours = Math.abs(degrees) / 30;
  const whole = Math.floor(hours + 1e-9);
  const rest = hours - whole;
  const quarter = Math.round(rest * 4);
  const sign = degrees < 0 ? "−" : "";
  const exact = Math.abs(rest * 4 - quarter) < 1e-6;
  const figure = exact
    ? `${whole + (quarter === 4 ? 1 : 0) || (quarter % 4 === 0 ? "0" : "")}${["", "¼", "½", "¾"][quarter % 4]}`
    : hours.toFixed(2);
  return `${sign}${figure} ${hours === 1 ? "hour" : "hours"} (${sign}${tidy(Math.abs(degrees))}°)`;
}

/** At most two places, none that say nothing. */
export const tidy = (value: number, places = 2): string => `${Number(value.toFixed(places))}`;
/** Seconds as minutes: "2:07". */
export function clockText(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
/** Up to a minute in seconds, which one feels; more as minutes. */
export const spanText = (seconds: number): string =>
  seconds < 60 ? counted(seconds, "second") : clockText(seconds);
/**
 * Semitones above the sample's own pitch at `speed` times the record's own: 12·log2 |speed|, the same forward and back.
 * −Infinity at rest.
 */
export const semitones = (speed: number): number => 12 * Math.log2(Math.abs(speed));
/** As one reads it: "+0.34 semitones". */
export const semitonesText = (speed: number): string =>
  `${speed > 1 ? "+" : "−"}${tidy(Math.abs(semitones(speed)))} semitones`;

/** 1 → "1 bar", 2 → "2 bars". */
export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${count} ${count === 1 ? one : many}`;

export const lcmOf = (a: Fraction, b: Fraction): Fraction => {
  const bottom = a.d * b.d;
  const x = a.n * b.d;
  const y = b.n * a.d;
  const common = gcd(x, y);
  return common === 0n ? fraction(0) : fraction((x / common) * y, bottom);
};
