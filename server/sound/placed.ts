import type { PlacedEvent, SectionPerformance } from "../../schemas/performance.ts";

/** What was placed, by its index in the section's list; one that was left out is missing. */
export const placedBy = ({ placed }: SectionPerformance): ReadonlyMap<number, PlacedEvent> =>
  new Map(placed.map((one) => [one.placement, one]));
