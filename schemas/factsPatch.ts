/**
 * What is worked out about a section, as it goes to a page that knows what it was before: what is the same is left
 * out, field by field. It is found by identity, so it costs little to find.
 */
import type { PlacementFacts, SectionFacts } from "./facts.ts";

export interface SectionFactsPatch extends Pick<SectionFacts, "id" | "joins"> {
  /** Left out where they are the same; in each only what is another value than at the same index before. */
  readonly placements?: readonly Partial<PlacementFacts>[] | undefined;
}

/** @param before of the same section; undefined where there was none: then nothing is left out */
export function factsBetween(before: SectionFacts | undefined, now: SectionFacts): SectionFactsPatch {
  const { id, joins, placements } = now;
  if (before === undefined) return now;
  if (before.placements === placements) return { id, joins };
  return { id, joins, placements: placements.map((placed, at) => fresh(before.placements[at], placed)) };
}

function fresh(before: PlacementFacts | undefined, now: PlacementFacts): Partial<PlacementFacts> {
  if (before === undefined) return now;
  if (before === now) return {};
  const other: Partial<Record<keyof PlacementFacts, unknown>> = {};
  for (const field of Object.keys(now) as (keyof PlacementFacts)[])
    if (now[field] !== before[field]) other[field] = now[field];
  return other as Partial<PlacementFacts>;
}

/** @returns null where something was left out that is not known here: the whole is on its way */
export function applyFacts(
  before: SectionFacts | undefined,
  { id, joins, placements: fresh }: SectionFactsPatch,
): SectionFacts | null {
  const placements = (fresh ?? before?.placements)?.map((placed, at) => ({
    ...before?.placements[at],
    ...placed,
  }));
  // Only of a placement that was not there before is it said in which section it is.
  const known = placements?.every(({ section }) => section !== undefined) ?? false;
  return known ? { id, joins, placements: placements as PlacementFacts[] } : null;
}
