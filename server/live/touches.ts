/** What the latest edits of a routine touched, so that one made on an older revision is known to meet them or not. */
import type { Patch } from "../../schemas/patch.ts";

/** Names of what an edit touches: things by list and id, the order of a list, and fields that stand once. */
export type Touched = ReadonlySet<string>;

/**
 * A section is touched as a whole: a placement at bar 5 means another thing in another metre.
 * @param forth what an edit did, and @param back what would take it back: what goes is named there
 */
export function touchedBy(forth: Patch, back: Patch): Touched {
  const touched = new Set<string>();
  for (const field of ["title", "timeLimit", "rig", "mappings"] as const)
    if (forth[field] !== undefined) touched.add(field);
  for (const list of ["patterns", "beats", "sections"] as const) {
    if (forth[list]?.order !== undefined) touched.add(list);
    for (const { id } of [...(forth[list]?.values ?? []), ...(back[list]?.values ?? [])])
      touched.add(`${list}/${id}`);
  }
  return touched;
}

export class Touches {
  readonly #kept: number;
  readonly #of = new Map<number, Touched>();

  /** @param kept revisions that are remembered */
  constructor(kept: number) {
    this.#kept = kept;
  }

  /** What led to a revision; one that was lost on the way to the disk gives way to the next of its number. */
  add(rev: number, touched: Touched): void {
    this.#of.set(rev, touched);
    this.#of.delete(rev - this.#kept);
  }

  /** Whether anything of it was touched after one revision, up to another; so too where that is not known any more. */
  meet(touched: Touched, after: number, upTo: number): boolean {
    if (after > upTo) return true;
    for (let rev = after + 1; rev <= upTo; rev++) {
      const others = this.#of.get(rev);
      if (others === undefined || [...touched].some((name) => others.has(name))) return true;
    }
    return false;
  }

  clear(): void {
    this.#of.clear();
  }
}
