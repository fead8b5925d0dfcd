/** Exact fractions, which server and page reckon with alike. */

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

/** @throws RangeError where d is 0: the schemas let no such text through. */
export function fraction(n: bigint | number, d: bigint | number = 1n): Fraction {
  const top = BigInt(n);
  const bottom = BigInt(d);
  if (bottom === 0n) throw new RangeError("a fraction over zero");
  const common = gcd(top, bottom) * (bottom < 0n ? -1n : 1n);
  return common === 0n ? { n: 0n, d: 1n } : { n: top / common, d: bottom / common };
}

/** "3/16", and "2" where it is whole. */
export const fractionText = ({ n, d }: Fraction): string => (d === 1n ? `${n}` : `${n}/${d}`);

export const multiply = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.n, a.d * b.d);
export const divide = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.d, a.d * b.n);
