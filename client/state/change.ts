/** Changing the open routine, and taking that back. */
import { computed } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import { link } from "./connection.ts";
import { type Intent, lineOf } from "./outbox.ts";
import { resting } from "./resting.ts";
import { said } from "./said.ts";
import { opened, past } from "./shown.ts";
import { editsHere, sendInTurn, waitingHere } from "./waiting.ts";

export function change(edit: Edit, words: string): void {
  // Without a connection it was made on what waits, as `ahead` says.
  intend({ kind: "edit", edit: link.value === "open" ? resting(edit, editsHere()) : edit }, words);
}

/** What undo would take back, and redo would do again, in words; null: nothing. What waits comes before what is safe. */
export const undoWords = computed((): string | null => {
  const { done } = lineOf(waitingHere.value);
  return done.at(-1)?.words ?? opened.value?.undo ?? null;
});
export const redoWords = computed((): string | null => {
  const { done, undone } = lineOf(waitingHere.value);
  const [next] = undone.slice(-1);
  if (next !== undefined) return next?.words ?? opened.value?.undo ?? null;
  return done.length > 0 ? null : (opened.value?.redo ?? null);
});

export const undo = (): void => {
  if (undoWords.value !== null) intend({ kind: "undo" }, `Undo: ${undoWords.value}`);
};
export const redo = (): void => {
  if (redoWords.value !== null) intend({ kind: "redo" }, `Redo: ${redoWords.value}`);
};

/** @param words what it does, for the user */
export function intend(intent: Intent, words: string): void {
  const now = opened.value;
  if (now === null) return;
  if (past.value !== null) {
    said.value = "This is how it was. Go back to how it is now, or bring this back, to change it.";
    return;
  }
  sendInTurn(now.name, intent, words);
}
