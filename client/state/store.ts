/** What all screens look at: the folder, the open routine, the draft over it, and the ways to change them. */
import { computed, effect, signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import type { Entry, FromServer, Past, Saved, ServerMessage } from "../../schemas/wire.ts";
import { ask, askToOpen, link, listen, Sorry, send } from "./connection.ts";
import { firstOf } from "./early.ts";
import { copied, type Opened, openedFrom, withChanged, withComputed, withMore } from "./opened.ts";
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
import { resting, standing } from "./resting.ts";
import { lastRoutine } from "./settings.ts";

export const folder = signal<{ path: string; routines: readonly Entry[]; notices: readonly string[] } | null>(
  null,
);
/** As the server last said it. */
export const opened = signal<Opened | null>(null);
/** Apart from the routine: how it stands on disk changes nothing that is drawn of it. */
export const saved = signal<Saved>({ state: "saved" });
/** The same with the draft over it. */
const drafted = signal<Opened | null>(null);
/** A moment of the past that is looked at in place of the present: nothing can be changed meanwhile. */
export const past = signal<{ readonly edit: Past; readonly opened: Opened } | null>(null);
/** What is shown. */
export const shown = computed(() => past.value?.opened ?? drafted.value);
/** The routine that was open went to the bin. */
export const gone = signal<string | null>(null);
/** Why the routine could not be opened, or the draft not be shown; a sentence. */
export const openTrouble = signal<string | null>(null);
export const draftTrouble = signal<string | null>(null);
export const outbox = signal<Outbox>(EMPTY);
/** Something to be told once, in a line that comes and goes. */
export const said = signal("");
/** What was done last, for those who hear the screen: others see it. */
export const done = signal("");

const newId = (): string => crypto.randomUUID();

/** Edits of the open routine that the server does not have safe yet. */
export const waitingHere = computed(() => waitingFor(outbox.value, opened.value?.name));

export const savedText = computed(() => {
  const now = opened.value;
  if (now === null) return "";
  const count = waitingHere.value.length;
  if (link.value !== "open") return count === 0 ? "Offline" : `Offline: ${count} not saved yet`;
  if (count > 0) return "Saving…";
  return { saved: "Saved", saving: "Safe", cannot: "Cannot be saved", outside: "Changed outside" }[
    saved.value.state
  ];
});

// Opening.

export async function openRoutine(name: string): Promise<void> {
  const before = opened.value;
  if (before !== null && before.name !== name && link.value !== "open") {
    said.value = `There is no connection to the server: ${name} can be opened when it is back.`;
    return;
  }
  const have =
    before?.name === name && before.coming === 0 ? { epoch: before.epoch, rev: before.rev } : undefined;
  if (before !== null && before.name !== name) {
    send({ type: "leave", name: before.name });
    opened.value = null;
    drafted.value = null;
  }
  openTrouble.value = null;
  gone.value = null;
  if (before?.name !== name) past.value = null;
  lastRoutine.value = name;
  try {
    await askToOpen(have === undefined ? { name } : { name, have });
    // Where it is as we had it, nothing else comes to say that what waits can be sent, and what is tried be drafted.
    pump();
    if (latest !== null) sendDraft();
  } catch (error) {
    if (error instanceof Sorry) openTrouble.value = error.message;
    else throw error;
  }
}

function openSomething(message: ServerMessage<"welcome">): void {
  const name = opened.value?.name ?? firstOf(message.routines, lastRoutine.peek())?.name;
  if (name !== undefined) void openRoutine(name);
}

// Editing.

/** Those of them that what is done now rests on. */
export const editsHere = (): readonly Edit[] => standing(waitingHere.value.map(({ intent }) => intent));

export function change(edit: Edit, words: string): void {
  intend({ kind: "edit", edit: resting(edit, editsHere()) }, words);
}
export const undo = (): void => {
  if (opened.value?.undo != null) intend({ kind: "undo" }, `Undo: ${opened.value.undo}`);
};
export const redo = (): void => {
  if (opened.value?.redo != null) intend({ kind: "redo" }, `Redo: ${opened.value.redo}`);
};

function intend(intent: Intent, words: string): void {
  const now = opened.value;
  if (now === null) return;
  if (past.value !== null) {
    said.value = "This is how it was. Go back to how it is now, or bring this back, to change it.";
    return;
  }
  outbox.value = queued(outbox.value, { opId: newId(), name: now.name, intent, words });
  pump();
}

// The past.

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

export function tryAgain(opId: string): void {
  outbox.value = again(outbox.value, opId, newId);
  pump();
}
export const dropAside = (opId: string): void => {
  outbox.value = letGo(outbox.value, opId);
};

function pump(): void {
  const now = opened.value;
  if (now === null) return;
  const next = nextMessage(outbox.value, now.rev, now.name);
  if (next !== null && send(next.message)) outbox.value = next.box;
}

// Drafts.

let lastDraft = 0;
let latest: { number: number; edit: Edit } | null = null;
let draftTimer: ReturnType<typeof setTimeout> | undefined;
let draftSentAt = 0;
const DRAFT_EVERY = 30;

/** Shows what an edit would make of the routine. Sent at most every 30 ms, the latest only. */
export function draft(edit: Edit): void {
  if (past.value !== null) return;
  lastDraft += 1;
  latest = { number: lastDraft, edit };
  clearTimeout(draftTimer);
  const wait = Math.max(0, draftSentAt + DRAFT_EVERY - Date.now());
  if (wait === 0) sendDraft();
  else draftTimer = setTimeout(sendDraft, wait);
}

function sendDraft(): void {
  const now = opened.value;
  if (now === null || latest === null) return;
  draftSentAt = Date.now();
  send({
    type: "draft",
    name: now.name,
    draft: latest.number,
    base: now.rev,
    edit: latest.edit,
  } as Parameters<typeof send>[0]);
}

export function noDraft(): void {
  clearTimeout(draftTimer);
  if (latest === null) return;
  latest = null;
  lastDraft += 1;
  draftTrouble.value = null;
  const now = opened.value;
  if (now === null) return;
  send({ type: "draft", name: now.name, draft: lastDraft, base: now.rev, edit: null });
  if (waitingHere.value.length === 0) drafted.value = now;
}

/** Lets go of what was drafted: it becomes an edit, and stays in sight until the server has it. */
export function keepDraft(edit: Edit, words: string): void {
  noDraftKeepingSight();
  change(edit, words);
}
function noDraftKeepingSight(): void {
  clearTimeout(draftTimer);
  latest = null;
  lastDraft += 1;
  draftTrouble.value = null;
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

// Sections that follow a long routine.

let followed: ServerMessage<"sections">[] = [];
let followTimer: ReturnType<typeof setTimeout> | undefined;
/** Milliseconds in which what follows is gathered, so that the page is drawn a few times and not sixty. */
const GATHER = 200;

function takeFollowed(): void {
  clearTimeout(followTimer);
  followTimer = undefined;
  const now = opened.value;
  if (now === null || followed.length === 0) return;
  opened.value = withMore(now, followed);
  followed = [];
  if (latest === null) drafted.value = opened.value;
  else sendDraft();
}

// What the server says.

listen((message: FromServer) => {
  if (message.type !== "sections") takeFollowed();
  const now = opened.value;
  switch (message.type) {
    case "welcome":
      folder.value = { path: message.folder, routines: message.routines, notices: message.notices };
      openSomething(message);
      break;
    case "list":
      if (folder.value !== null) folder.value = { ...folder.value, routines: message.routines };
      break;
    case "routine":
      if (message.name !== lastRoutine.value) break;
      past.value = null;
      saved.value = message.saved;
      opened.value = openedFrom(message);
      drafted.value = opened.value;
      pump();
      break;
    case "sections":
      if (now === null || message.name !== now.name) break;
      followed.push(message);
      followTimer ??= setTimeout(takeFollowed, GATHER);
      break;
    case "changed": {
      if (now === null || message.name !== now.name) break;
      const next = withChanged(now, message);
      if (next === null) {
        if (message.rev > now.rev || message.epoch !== now.epoch) void openRoutine(now.name);
        break;
      }
      opened.value = next;
      if (latest === null) drafted.value = next;
      else sendDraft();
      break;
    }
    case "drafted":
      if (now === null || latest === null || message.draft !== latest.number || message.base !== now.rev)
        break;
      draftTrouble.value = null;
      drafted.value = withComputed(now, message);
      break;
    case "not-drafted":
      if (latest !== null && message.draft === latest.number) draftTrouble.value = message.message;
      break;
    case "ack":
    case "stale":
    case "refused":
      outbox.value = answered(outbox.value, message, newId);
      if (message.type === "refused") {
        said.value = message.message;
        if (latest === null) drafted.value = now;
      } else if (message.type === "ack") done.value = message.words;
      pump();
      break;
    case "saved":
      if (message.name === now?.name) saved.value = message.saved;
      break;
    case "renamed":
      if (message.to !== null) outbox.value = renamed(outbox.value, message.name, message.to);
      if (now === null || message.name !== now.name) break;
      opened.value = null;
      drafted.value = null;
      past.value = null;
      if (message.to === null) gone.value = message.name;
      else void openRoutine(message.to);
      break;
    default:
      break;
  }
});

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
