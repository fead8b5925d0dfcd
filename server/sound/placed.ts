/** What was placed: by its index, and by which player. */
import type { Performance, PlacedEvent, SectionPerformance } from "../../schemas/performance.ts";

/** What was placed, by its index in the section's list; one that was left out is missing. */
export const placedBy = ({ placed }: SectionPerformance): ReadonlyMap<number, PlacedEvent> =>
  new Map(placed.map((one) => [one.placement, one]));

/** The lowest player that plays a pattern in the routine; 1 where none does. */
export function leadingPlayer({ sections }: Performance): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const { performance } of sections)
    for (const { pattern, player } of performance.placed)
      if (pattern !== null) lowest = Math.min(lowest, player);
  return Number.isFinite(lowest) ? lowest : 1;
}
