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

/** Whatever came meanwhile is read first. */
const turn = (): Promise<void> => new Promise((go) => setImmediate(go));

export class DiskTurns {
  readonly batches = new Turns(BATCHES_AT_ONCE);
  /** Files that are written whole, with flushes of their own: no edit of another routine should wait for several. */
  readonly snapshots = new Turns(1);

  /**
   * Before a batch sets out: what arrived with its first edit comes along. Behind another of its routine it waits one
   * turn more, in which edits of pages that were answered just now come too; and where another routine is edited at
   * this very moment, so long that several do, since a batch costs nearly the same however many there are.
   */
  async gather(behind: boolean): Promise<void> {
    await turn();
    if (this.batches.taken > 0) await new Promise((go) => setTimeout(go, GATHERING));
    else if (behind) await turn();
  }
}
