/** Swing bends the time of seconds and ticks, never the exact musical position. */
import type { Units } from "../../schemas/units.ts";

/**
 * Where `position` (units from the section's start) is heard, in units that may be fractional.
 *
 * Within each pair of steps of `step` units the first takes `percent` of the pair, everything inside moving in
 * proportion; an incomplete pair at the end of the section of `length` units stays straight.
 */
export function bend(position: number, step: Units, percent: number, length: Units): number {
  if (percent === 50) return position;
  const pair = 2 * step;
  const start = Math.floor(position / pair) * pair;
  if (position < 0 || start + pair > length) return position;
  const inside = position - start;
  const first = (pair * percent) / 100;
  return inside <= step
    ? start + (inside * first) / step
    : start + first + ((inside - step) * (pair - first)) / step;
}
