/** Putting ticks on steps. */
import { parseFraction } from "../../time/fraction.ts";

export interface Grid {
  /** The nearest step, counted from 0; halves go up. */
  nearest(tick: number): number;
  /** How far a tick lies from its nearest step, in steps: 0 to 1/2. */
  error(tick: number): number;
}

/** @param step part of a whole note, as text; @param ppq ticks a quarter */
export function gridOf(step: string, ppq: number): Grid {
  const { n, d } = parseFraction(step);
  const steps = (tick: number): number => (tick * Number(d)) / (4 * ppq * Number(n));
  return {
    nearest: (tick) => Math.round(steps(tick)),
    error: (tick) => Math.abs(steps(tick) - Math.round(steps(tick))),
  };
}
