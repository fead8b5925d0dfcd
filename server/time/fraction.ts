/**
 * Exact fractions. Lengths, steps and positions stay fractions until they become a whole number of units; what is
 * no whole number of units is refused by the caller, never rounded.
 */
import { UNITS_PER_WHOLE, type Units } from "../../schemas/units.ts";

/** n/d in lowest terms, d above 0. */
export interface Fraction {
  readonly n: bigint;
  readonly d: bigint;
}

export function gcd(a: bigint, b: bigint): bigint {
  let x = a < 0n ? -a : a;
  let y = b < 0n ? -b : b;
  while (y !== 0n) [x, y] = [y, x % y];
  return x;
}

export const lcm = (a: bigint, b: bigint): bigint => (a === 0n || b === 0n ? 0n : (a / gcd(a, b)) * b);

/** Of whole numbers within the safe integers. */
export function gcdOf(a: number, b: number): number {
  let x = a;
  let y = b;
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}

/** @throws RangeError where d is 0: the schemas let no such text through. */
export function fraction(n: bigint | number, d: bigint | number = 1n): Fraction {
  const top = BigInt(n);
  const bottom = BigInt(d);
  if (bottom === 0n) throw new RangeError("a fraction over zero");
  const common = gcd(top, bottom) * (bottom < 0n ? -1n : 1n);
  return common === 0n ? { n: 0n, d: 1n } : { n: top / common, d: bottom / common };
}

/** Reads "3/16", "2" or 2, as the routine file writes them. */
export function parseFraction(value: string | number): Fraction {
  if (typeof value === "number") return fraction(value);
  const [n = "0", d = "1"] = value.split("/");
  return fraction(BigInt(n), BigInt(d));
}

/** "3/16", and "2" where it is whole. */
export const fractionText = ({ n, d }: Fraction): string => (d === 1n ? `${n}` : `${n}/${d}`);

export const multiply = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.n, a.d * b.d);
export const divide = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.d, a.d * b.n);
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

/** The nearest whole number of units, halves up; for defaults that would be finer than the clock. */
export function nearestUnits(part: Fraction): Units {
  const top = 2n * part.n * WHOLE + part.d;
  return Number(top / (2n * part.d)) as Units;
}

/** Units as a part of a whole note, exactly. */
export const partOfWhole = (position: number | bigint): Fraction => fraction(BigInt(position), WHOLE);
