/**
 * Units cannot mix: exact musical time, seconds and degrees of the platter are different types. A brand costs nothing
 * at run time. Audio frames and MIDI ticks are made at the very edge, each by one function (`frameAt` of a score,
 * `tick` of a clip's clock), and are plain numbers.
 */

declare const unit: unique symbol;
type Branded<Name extends string> = number & { readonly [unit]: Name };

/** Exact musical time: a whole number of units; UNITS_PER_QUARTER of them make a quarter note. */
export type Units = Branded<"units">;
/** Seconds, a double. */
export type Seconds = Branded<"seconds">;
/** Degrees the platter has turned, a double; forward is positive. */
export type Degrees = Branded<"degrees">;

/** 2^8·3^3·5^2·7^2·11·13, so that every step and every usual part of one is a whole number. */
export const UNITS_PER_QUARTER = 1_210_809_600 as Units;
export const UNITS_PER_WHOLE = (4 * UNITS_PER_QUARTER) as Units;

export const units = (n: number): Units => n as Units;
export const degrees = (n: number): Degrees => n as Degrees;
