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
  const {
    ask: _,
    at: __,
    type: ___,
    ...whole
  } = await ask<"past">({
    type: "look",
    name: now.name,
    rev: edit.rev,
  });
  const was = { ...whole, epoch: now.epoch, undo: null, redo: null, notices: [] };
  if (opened.value?.name === now.name) past.value = { edit, opened: openedFrom(was) };
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
