/** Where in a part its rounds go wrong most: the opening that was missed most often, or met worst. */
import { WINDOW } from "./taps.ts";
import type { Met } from "./tapping.ts";

export interface Weakest {
  readonly section: number;
  readonly at: number;
  /** Of so many rounds. */
  readonly missed: number;
  readonly rounds: number;
  /** Of those that were met, milliseconds, late is positive; null where none was. */
  readonly mean: number | null;
}

/** @param rounds of one part, what was met in each. @returns null where no error could be heard */
export function weakestOf(rounds: readonly (readonly Met[])[]): Weakest | null {
  const places = new Map<string, Met[]>();
  for (const met of rounds.flat()) {
    const key = `${met.section} ${met.at}`;
    places.set(key, [...(places.get(key) ?? []), met]);
  }
  let weakest: Weakest | null = null;
  let worst = 0;
  for (const [first, ...others] of places.values()) {
    const all = [first!, ...others];
    const errors = all.flatMap(({ errorMs }) => (errorMs === null ? [] : [errorMs]));
    // A miss is as bad as the edge of the window.
    const bad =
      all.reduce((sum, { errorMs, unheardMs }) => {
        const size = Math.abs(errorMs ?? 1000 * WINDOW);
        return sum + (size > unheardMs ? size : 0);
      }, 0) / all.length;
    if (bad <= worst) continue;
    worst = bad;
    weakest = {
      section: first!.section,
      at: first!.at,
      missed: all.length - errors.length,
      rounds: all.length,
      mean: errors.length === 0 ? null : errors.reduce((sum, one) => sum + one, 0) / errors.length,
    };
  }
  return weakest;
}
