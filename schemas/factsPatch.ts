/**
 * What is worked out about a section, as it goes to a page that knows what it was before: what is the same is left
 * out. It is found by identity, so it costs nothing to find.
 */
import type { PlacementFacts, SectionFacts } from "./facts.ts";

type Placed = Omit<PlacementFacts, "metre"> & Partial<Pick<PlacementFacts, "metre">>;

export interface SectionFactsPatch extends Pick<SectionFacts, "id" | "joins"> {
  /** Left out where they are the same; in each its metre is left out where that is the same at the same index. */
  readonly placements?: readonly Placed[] | undefined;
}

/** @param before of the same section; undefined where there was none: then nothing is left out */
export function factsBetween(before: SectionFacts | undefined, now: SectionFacts): SectionFactsPatch {
  const { id, joins, placements } = now;
  if (before === undefined) return now;
  if (before.placements === placements) return { id, joins };
  const lean = placements.map((placed, index): Placed => {
    if (before.placements[index]?.metre !== placed.metre) return placed;
    const { metre: _, ...rest } = placed;
    return rest;
  });
  return { id, joins, placements: lean };
}

/** @returns null where something was left out that is not known here: the whole is on its way */
export function applyFacts(
  before: SectionFacts | undefined,
  { id, joins, placements: fresh }: SectionFactsPatch,
): SectionFacts | null {
  const placements = (fresh ?? before?.placements)?.map((placed, index) => ({
    metre: before?.placements[index]?.metre,
    ...placed,
  }));
  const known = placements?.every(({ metre }) => metre !== undefined) ?? false;
  return known ? { id, joins, placements: placements as PlacementFacts[] } : null;
}
