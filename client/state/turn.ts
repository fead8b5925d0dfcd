/**
 * One thing after the other: what a key, a button or a field asks for is done on the routine as the one before it left
 * it. Needed wherever an edit says what it expects, or writes more than the one value that was changed.
 */
import { effect } from "@preact/signals";
import type { Routine } from "../../schemas/routine.ts";
import { question } from "./question.ts";
import { link } from "./connection.ts";
import { ahead, takenIds } from "./resting.ts";
import { opened } from "./shown.ts";
import { editsHere, waitingHere } from "./waiting.ts";

/** A key that is held repeats faster than the disk may take it; more than these are dropped. */
const MOST = 64;
let queue: (() => void)[] = [];
let busy = false;

const mayAct = (): boolean => waitingHere.value.length === 0 || link.value !== "open";

function goOn(): void {
  if (busy) return;
  busy = true;
  try {
    while (mayAct()) {
      const act = queue.shift();
      if (act === undefined) return;
      act();
      // What comes after a question waits for nothing: the answer changes what it was meant for.
      if (question.peek() !== null) queue = [];
    }
  } finally {
    busy = false;
  }
}
effect(() => {
  if (mayAct()) goOn();
});

/** Something is still to be done: what can be done after it is not known yet. */
export const pending = (): boolean => queue.length > 0 || !mayAct();

/** The routine as what waits will make it, as far as what comes next leans on it; null where none is open. */
export const routineAhead = (): Routine | null =>
  opened.value === null ? null : ahead(opened.value.routine, editsHere());

/** Ids of one kind that are taken, those of what waits too. */
export const taken = (of: "section" | "pattern" | "beat" | "sample"): Set<string> =>
  opened.value === null ? new Set() : takenIds(opened.value.routine, editsHere(), of);

/** At once where nothing is on its way to the server, else when it is safe there. */
export function inTurn(act: () => void): void {
  if (queue.length < MOST) queue.push(act);
  goOn();
}

/** The same, with the routine as it is then, and as what waits without a connection will make it. */
export const withRoutine = (act: (routine: Routine) => void): void =>
  inTurn(() => {
    const routine = routineAhead();
    if (routine !== null) act(routine);
  });
