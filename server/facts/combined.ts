/** How long two hands take together: the least common multiple of their cycles, exact however long. */
import type { Pattern } from "../../schemas/routine.ts";
import { divide, type Fraction, fraction } from "../../schemas/fraction.ts";
import { parseFraction, partOfWhole } from "../time/fraction.ts";
import { combinedUnits } from "../routine/layout.ts";

/** Units counted in the record hand's steps. The step may be finer than the clock, so it stays a fraction. */
export const inRecordSteps = (length: number | bigint, pattern: Pattern): Fraction =>
  divide(partOfWhole(length), parseFraction(pattern.record.step));

/** The combined length in the record hand's steps. */
export const combinedSteps = (pattern: Pattern): Fraction => inRecordSteps(combinedUnits(pattern), pattern);

/** a modulo b, from 0 to b; b is above 0. */
export const modulo = (a: bigint, b: bigint): bigint => ((a % b) + b) % b;

export const minus = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.d - b.n * a.d, a.d * b.d);
