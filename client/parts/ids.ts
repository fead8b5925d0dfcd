/** Ids from names. */
import { freeId } from "../../schemas/freeId.ts";

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
