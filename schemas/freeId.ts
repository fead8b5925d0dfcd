/** Ids that are not taken. */

export const idsOf = (list: readonly { readonly id: string }[]): Set<string> =>
  new Set(list.map(({ id }) => id));

/** The wished one, or that with the first number that is free: "night-walk-2". */
export function freeId(wished: string, taken: ReadonlySet<string>): string {
  let id = wished;
  for (let number = 2; taken.has(id); number++) id = `${wished}-${number}`;
  return id;
}
