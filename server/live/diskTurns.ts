/**
 * What the routines of a folder share of the disk: who writes when, and how long a batch of edits waits for more.
 * Nothing of it shows where one routine is edited; it is for many of them, and for edits in a stream.
 */
import { Turns } from "../jobs/turns.ts";

/**
 * Batches of all routines that are on their way to the disk at once. More would only wait for a thread that writes:
 * there are four (Node.js, `UV_THREADPOOL_SIZE`), and files are read by them too. One that waits here takes along what
 * comes meanwhile.
 */
const BATCHES_AT_ONCE = 3;

/** Milliseconds that a batch waits for more to come along while another routine's is on its way. */
const GATHERING = 12;

/** Milliseconds. */
const BETWEEN_SNAPSHOTS = 100;

/** Whatever came meanwhile is read first. */
const turn = (): Promise<void> => new Promise((go) => setImmediate(go));

export class DiskTurns {
  readonly batches = new Turns(BATCHES_AT_ONCE);
  readonly #snapshots = new Turns(1);

  /**
   * Files that are written whole, with flushes of their own, each some time after another: edits of other routines should
   * not wait for several in a row.
   */
  snapshot(write: () => Promise<void>): Promise<void> {
    return this.#snapshots.take(async () => {
      await write();
      if (this.#snapshots.waiting > 0) await new Promise((go) => setTimeout(go, BETWEEN_SNAPSHOTS));
    });
  }

  /**
   * Before a batch sets out: what arrived with its first edit comes along. Behind another of its routine it waits one
   * turn more, in which edits of pages that were answered just now come too; and where another routine is edited at
   * this very moment, so long that several do, since a batch costs nearly the same however many there are.
   * @param complete comes true where no more can come
   */
  async gather(behind: boolean, complete: Promise<void>): Promise<void> {
    await turn();
    if (this.batches.taken > 0) await within(GATHERING, complete);
    else if (behind) await turn();
  }
}

function within(milliseconds: number, sooner: Promise<void>): Promise<void> {
  return new Promise((go) => {
    const timer = setTimeout(go, milliseconds);
    void sooner.then(() => {
      clearTimeout(timer);
      go();
    });
  });
}
