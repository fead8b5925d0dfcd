/** Exact fractions of any size: the slow, obvious arithmetic that the program's own is held against. */
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";

/** In lowest terms, the denominator above 0. */
export interface Rational {
  readonly over: bigint;
  readonly under: bigint;
}

export function gcd(a: bigint, b: bigint): bigint {
  while (b !== 0n) [a, b] = [b, a % b];
  return a < 0n ? -a : a;
}
export const lcm = (a: bigint, b: bigint): bigint => (a / gcd(a, b)) * b;

export function rational(over: bigint | number, under: bigint | number = 1n): Rational {
  const [n, d] = [BigInt(over), BigInt(under)];
  if (d === 0n) throw new RangeError("a fraction over nothing");
  const common = gcd(n, d) * (d < 0n ? -1n : 1n);
  return { over: n / common, under: d / common };
}

/** From a whole number or a fraction as text ("3/2", "2"). */
export function parseRational(written: number | string): Rational {
  const [over = "", under = "1"] = String(written).split("/");
  return rational(BigInt(over), BigInt(under));
}

export const times = (a: Rational, b: Rational) => rational(a.over * b.over, a.under * b.under);
export const dividedBy = (a: Rational, b: Rational) => rational(a.over * b.under, a.under * b.over);
export const isWhole = (a: Rational) => a.under === 1n;
export const asText = (a: Rational) => (a.under === 1n ? `${a.over}` : `${a.over}/${a.under}`);

const UNITS_PER_WHOLE = 4n * BigInt(UNITS_PER_QUARTER);

/** Units in a part of a whole note, perhaps no whole number of them. */
export const inUnits = (partOfWhole: Rational): Rational => times(partOfWhole, rational(UNITS_PER_WHOLE));

/** A whole number of units, or an error: a routine without problems has no other. */
export function whole(units: Rational): bigint {
  if (units.under !== 1n) throw new RangeError(`${asText(units)} is no whole number of units`);
  return units.over;
}

/** The nearest whole number; exactly half goes up. */
export const nearest = (a: Rational): bigint => (2n * a.over + a.under) / (2n * a.under);

/** Units as part of a whole note, as text. */
export const unitsAsText = (units: bigint) => asText(rational(units, UNITS_PER_WHOLE));

export const floorDivide = (a: bigint, b: bigint): bigint => (a - modulo(a, b)) / b;
/** Remainder in 0 to b, b not included. */
export const modulo = (a: bigint, b: bigint): bigint => ((a % b) + b) % b;

export function earlier(a: bigint, b: bigint): bigint {
  if (a < b) return a;
  return b;
}
export function later(a: bigint, b: bigint): bigint {
  if (a > b) return a;
  return b;
}
