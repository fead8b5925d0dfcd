/** Where the search for phrases stands in the address of Write, in place of a phrase: no id has a space. */

/** The space of combinations. */
export const FIND = "find a phrase";
const NEIGHBOURS = "neighbours of ";

/** What is one change away from a phrase of the routine. */
export const neighboursOf = (pattern: string): string => `${NEIGHBOURS}${pattern}`;

/** null: something else is written. `from` null: the space of combinations, otherwise the id of a phrase. */
export function findPlace(of: string): { readonly from: string | null } | null {
  if (of === FIND) return { from: null };
  return of.startsWith(NEIGHBOURS) ? { from: of.slice(NEIGHBOURS.length) } : null;
}
