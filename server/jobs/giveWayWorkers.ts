/**
 * What threads work on for long gives way to the hand: an edit is answered, heard and drawn first, also where no core is
 * free. They run at the lowest priority, and stand still for a moment after each edit, because a core that is shared with
 * another, or with its memory, is slow even for what goes first.
 */
import { constants, platform, setPriority } from "node:os";
import { getEnvironmentData, setEnvironmentData } from "node:worker_threads";

/** Milliseconds, from an edit on, in which threads stand still: by then it is heard and drawn. */
const STILL = 200;
/** Milliseconds that a thread works after it stood still for `MOST`, so that its work ends also while edits do not. */
const WORKS = 100;
const MOST = 1_000;

/** The time until which to stand still, in milliseconds, the lower 32 bits of it: one number that all threads share. */
const NAME = "countercut: still until";
const known = getEnvironmentData(NAME) as Int32Array | undefined;
const until = known ?? new Int32Array(new SharedArrayBuffer(4));
if (known === undefined) setEnvironmentData(NAME, until);
const now = (): number => Date.now() | 0;

/** An edit is on its way. */
export function handFirst(): void {
  Atomics.store(until, 0, (now() + STILL) | 0);
}

/** Called by a thread as it begins. Only Linux knows the priority of one thread; elsewhere it is the whole program's. */
export function giveWay(): void {
  if (platform() !== "linux") return;
  try {
    setPriority(0, constants.priority.PRIORITY_LOW);
  } catch {
    // Not allowed here: it works beside the others then.
  }
}

let worksUntil = now();
/** Called by a thread every few milliseconds: stands still while an edit is on its way. */
export function standAside(): void {
  if (((worksUntil - now()) | 0) > 0) return;
  const longest = (now() + MOST) | 0;
  for (;;) {
    const wanted = Atomics.load(until, 0);
    const left = (wanted - now()) | 0;
    if (left <= 0 || left > STILL) return;
    if (((longest - now()) | 0) <= 0) {
      worksUntil = (now() + WORKS) | 0;
      return;
    }
    Atomics.wait(until, 0, wanted, left);
  }
}
