/**
 * Fractions as the routine file writes them, and units. Lengths, steps and positions stay fractions until they become
 * a whole number of units; what is no whole number of units is refused by the caller, never rounded.
 */
import { type Fraction, fraction, gcd } from "../../schemas/fraction.ts";
import { UNITS_PER_WHOLE, type Units } from "../../schemas/units.ts";

export const lcm = (a: bigint, b: bigint): bigint => (a === 0n || b === 0n ? 0n : (a / gcd(a, b)) * b);

/** Of whole numbers within the safe integers. */
export function gcdOf(a: number, b: number): number {
  let x = a;
  let y = b;
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}

/** Reads "3/16", "2" or 2, as the routine file writes them. */
export function parseFraction(value: string | number): Fraction {
  if (typeof value === "number") return fraction(value);
  const [n = "0", d = "1"] = value.split("/");
  return fraction(BigInt(n), BigInt(d));
}

export const compare = (a: Fraction, b: Fraction): number => {
  const difference = a.n * b.d - b.n * a.d;
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
};

const WHOLE = BigInt(UNITS_PER_WHOLE);

/** A part of a whole note in units, or null where that is no whole number or past the safe integers. */
export function unitsOf(part: Fraction): Units | null {
  const top = part.n * WHOLE;
  if (top % part.d !== 0n) return null;
  const result = Number(top / part.d);
  return Number.isSafeInteger(result) ? (result as Units) : null;
}

/** The nearest whole number of parts of which `parts` make one, halves up. The fraction is not below 0. */
export const nearest = ({ n, d }: Fraction, parts: bigint | number): number =>
  Number((2n * n * BigInt(parts) + d) / (2n * d));

/** The nearest whole number of units, halves up; for defaults that would be finer than the clock. */
export const nearestUnits = (part: Fraction): Units => nearest(part, WHOLE) as Units;

/** Units as a part of a whole note, exactly. */
export const partOfWhole = (position: number | bigint): Fraction => fraction(BigInt(position), WHOLE);
