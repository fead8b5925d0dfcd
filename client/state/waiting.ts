/** What was done and the server does not have safe yet: sent one at a time, and kept over a break and a reload. */
import { computed, effect, signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import type { FromServer } from "../../schemas/wire.ts";
import { link, send } from "./connection.ts";
import {
  again,
  answered,
  EMPTY,
  type Intent,
  letGo,
  nextMessage,
  type Outbox,
  queued,
  renamed,
  unsent,
  waitingFor,
} from "./outbox.ts";
import { standing } from "./resting.ts";
import { opened } from "./shown.ts";

export const outbox = signal<Outbox>(EMPTY);

/** Edits of the open routine that the server does not have safe yet. */
export const waitingHere = computed(() => waitingFor(outbox.value, opened.value?.name));
/** Those of them that what is done now rests on. */
export const editsHere = (): readonly Edit[] => standing(waitingHere.value.map(({ intent }) => intent));

const newId = (): string => crypto.randomUUID();

/** @param words what it does, for the user */
export function sendInTurn(name: string, intent: Intent, words: string): void {
  const now = opened.value;
  const first = now?.name === name && waitingFor(outbox.value, name).length === 0;
  outbox.value = queued(outbox.value, {
    opId: newId(),
    name,
    intent,
    words,
    ...(first ? { on: now.rev } : {}),
  });
  pump();
}
export function tryAgain(opId: string): void {
  outbox.value = again(outbox.value, opId, newId);
  pump();
}
export const dropAside = (opId: string): void => {
  outbox.value = letGo(outbox.value, opId);
};

/** Sends the next one of the open routine, if it is time for one. */
export function pump(): void {
  const now = opened.value;
  if (now === null) return;
  const next = nextMessage(outbox.value, now.rev, now.name);
  if (next !== null && send(next.message)) outbox.value = next.box;
}
/** Takes an answer to what was sent; the next is not sent yet. */
export const takeAnswer = (message: FromServer): void => {
  outbox.value = answered(outbox.value, message, newId);
};
export const waitUnderName = (from: string, to: string): void => {
  outbox.value = renamed(outbox.value, from, to);
};

effect(() => {
  if (link.value === "offline") outbox.value = unsent(outbox.peek());
});

// Over a reload.
const KEPT = "countercut.outbox";
try {
  const kept = JSON.parse(sessionStorage.getItem(KEPT) ?? "null") as Outbox | null;
  if (kept !== null) outbox.value = unsent(kept);
} catch {
  // Nothing that we could read was kept.
}
effect(() => {
  try {
    sessionStorage.setItem(KEPT, JSON.stringify(outbox.value));
  } catch {
    // Full or shut off: what waits lasts as long as the page.
  }
});
