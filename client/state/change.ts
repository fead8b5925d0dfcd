/** Changing the open routine, and taking that back. */
import type { Edit } from "../../schemas/edit.ts";
import type { Intent } from "./outbox.ts";
import { resting } from "./resting.ts";
import { said } from "./said.ts";
import { opened, past } from "./shown.ts";
import { editsHere, sendInTurn } from "./waiting.ts";

export function change(edit: Edit, words: string): void {
  intend({ kind: "edit", edit: resting(edit, editsHere()) }, words);
}
export const undo = (): void => {
  if (opened.value?.undo != null) intend({ kind: "undo" }, `Undo: ${opened.value.undo}`);
};
export const redo = (): void => {
  if (opened.value?.redo != null) intend({ kind: "redo" }, `Redo: ${opened.value.redo}`);
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
