/** Which revision an edit made, by the id that its page gave it: one that is sent again gets its answer, and is not made twice. */
import { RECENT } from "../store/interfaces.ts";

/**
 * Ids known, at least; twice as many at most. A page has one edit without an answer, and sends it again once it is back:
 * so many edits of others may come between.
 */
export const LEAST_IDS = 10 * RECENT;

export class RecentIds {
  #newer: Map<string, number>;
  /** What was known before `#newer` was begun: with the next beginning it goes at once, and nothing is looked through. */
  #older: ReadonlyMap<string, number> = new Map();

  /** @param known the oldest first */
  constructor(known: Iterable<readonly [id: string, rev: number]>) {
    this.#newer = new Map(known);
  }

  /** undefined: it is not known, or not any more. */
  get(id: string): number | undefined {
    return this.#newer.get(id) ?? this.#older.get(id);
  }

  set(id: string, rev: number): void {
    if (this.#newer.size >= LEAST_IDS) {
      this.#older = this.#newer;
      this.#newer = new Map();
    }
    this.#newer.set(id, rev);
  }

  get size(): number {
    return this.#newer.size + this.#older.size;
  }
}
