/** What an edit would make of the routine, shown while it is tried: nothing is changed by it. */
import { signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import type { ServerMessage } from "../../schemas/wire.ts";
import { change } from "./change.ts";
import { send } from "./connection.ts";
import { copied, withComputed } from "./opened.ts";
import { drafted, opened, past } from "./shown.ts";
import { waitingHere } from "./waiting.ts";

/** Why the draft cannot be shown; a sentence. */
export const draftTrouble = signal<string | null>(null);

let lastDraft = 0;
let latest: { draft: number; edit: Edit } | null = null;
let draftTimer: ReturnType<typeof setTimeout> | undefined;
let draftSentAt = 0;
const DRAFT_EVERY = 30;

export const drafting = (): boolean => latest !== null;

/** Shows what an edit would make of the routine. Sent at most every 30 ms, the latest only. */
export function draft(edit: Edit): void {
  if (past.value !== null) return;
  lastDraft += 1;
  latest = { draft: lastDraft, edit };
  clearTimeout(draftTimer);
  const wait = Math.max(0, draftSentAt + DRAFT_EVERY - Date.now());
  if (wait === 0) sendDraft();
  else draftTimer = setTimeout(sendDraft, wait);
}

/** Sends what is tried, where something is, on the revision we have. */
export function sendDraft(): void {
  const now = opened.value;
  if (now === null || latest === null) return;
  draftSentAt = Date.now();
  send({ type: "draft", name: now.name, base: now.rev, ...latest } as Parameters<typeof send>[0]);
}

/** The routine is another one now: what is tried is asked for anew over it. */
export function draftAnew(): void {
  if (latest === null) drafted.value = opened.value;
  else sendDraft();
}

export function takeDrafted(message: ServerMessage<"drafted">): void {
  const now = opened.value;
  if (now === null || latest === null || message.draft !== latest.draft || message.base !== now.rev) return;
  draftTrouble.value = null;
  drafted.value = withComputed(now, message);
}
export function takeNotDrafted(message: ServerMessage<"not-drafted">): void {
  if (latest !== null && message.draft === latest.draft) draftTrouble.value = message.message;
}

function letGo(): void {
  clearTimeout(draftTimer);
  latest = null;
  lastDraft += 1;
  draftTrouble.value = null;
}

export function noDraft(): void {
  if (latest === null) return;
  letGo();
  const now = opened.value;
  if (now === null) return;
  send({ type: "draft", name: now.name, draft: lastDraft, base: now.rev, edit: null });
  if (waitingHere.value.length === 0) drafted.value = now;
}

/** Lets go of what was drafted: it becomes an edit, and stays in sight until the server has it. */
export function keepDraft(edit: Edit, words: string): void {
  letGo();
  change(edit, words);
}

/**
 * Draws a section for nothing, as a draft that changes nothing would; the server is asked nothing.
 * @returns the way to take it back; null where something is tried, looked at or on its way
 */
export function drawForNothing(section: string): (() => void) | null {
  const now = opened.peek();
  const busy = latest !== null || past.peek() !== null || waitingHere.peek().length > 0;
  if (now === null || busy || drafted.peek() !== now) return null;
  const copy = copied(now, section);
  drafted.value = copy;
  return () => {
    if (drafted.peek() === copy) drafted.value = now;
  };
}
