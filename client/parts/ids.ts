/** Ids that none of those has that are taken. */

/** The wished one, or that with the first number that is free: "night-walk-2". */
export function freeId(wished: string, taken: ReadonlySet<string>): string {
  let id = wished;
  for (let number = 2; taken.has(id); number++) id = `${wished}-${number}`;
  return id;
}

/** From a name: "Night walk" → "night-walk". @param otherwise where nothing of it can stand in an id */
export const freshId = (name: string, taken: ReadonlySet<string>, otherwise = "phrase"): string =>
  freeId(
    name
      .normalize("NFKD")
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 60) || otherwise,
    taken,
  );
