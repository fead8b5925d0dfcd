/**
 * What waits for the disk, of one routine. What comes in one turn, or while the disk is busy with what came before, makes
 * one batch; batches go one after the other, in the order in which they began.
 */
import type { DiskTurns } from "./diskTurns.ts";

export class Batches<Waiting> {
  readonly #turns: DiskTurns;
  readonly #commit: (batch: readonly Waiting[]) => Promise<void>;
  #next: Waiting[] = [];
  /** Called once every page that can has something in the next batch. */
  #complete = (): void => {};
  /** Those that are not at their end. */
  #open = 0;
  #last: Promise<unknown> = Promise.resolve();

  /** @param commit answers all of a batch, also where it fails */
  constructor(turns: DiskTurns, commit: (batch: readonly Waiting[]) => Promise<void>) {
    this.#turns = turns;
    this.#commit = commit;
  }

  /** @param most pages that make edits, each one at a time: with so many the batch need not wait for more */
  add(one: Waiting, most: number): void {
    const first = this.#next.push(one) === 1;
    const complete = first ? new Promise<void>((go) => (this.#complete = go)) : null;
    if (this.#next.length === most) this.#complete();
    if (complete === null) return;
    const behind = this.#open++ > 0;
    this.#last = this.#last
      .then(() => this.#turns.gather(behind, complete))
      .then(() => this.#turns.batches.take(() => this.#commit(this.#next.splice(0))))
      .catch((bug: unknown) => console.error(bug))
      .finally(() => this.#open--);
  }

  /** Resolves once nothing waits. */
  async settled(): Promise<void> {
    await this.#last;
  }
}
