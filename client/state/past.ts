/** Looking at a moment of the past, and bringing it back. */
import type { Past } from "../../schemas/wire.ts";
import { intend } from "./change.ts";
import { ask } from "./connection.ts";
import { openedFrom } from "./opened.ts";
import { opened, past } from "./shown.ts";

/** Shows the routine as it was after an edit. @throws Sorry */
export async function lookAt(edit: Past): Promise<void> {
  const now = opened.value;
  if (now === null) return;
  const was = await ask<"past">({ type: "look", name: now.name, rev: edit.rev });
  if (opened.value?.name !== now.name) return;
  const whole = { ...was, epoch: now.epoch, undo: null, redo: null, notices: [] };
  past.value = { edit, opened: openedFrom(whole) };
}
export function backToNow(): void {
  past.value = null;
}
/** The moment that is looked at becomes a new edit. */
export function bringBack(): void {
  const edit = past.value?.edit;
  past.value = null;
  if (edit !== undefined) intend({ kind: "restore", to: edit.rev }, "Bring back how it was");
}
