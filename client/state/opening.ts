/** The folder of routines, and which of them is open. */
import { signal } from "@preact/signals";
import type { Entry, ServerMessage } from "../../schemas/wire.ts";
import { askToOpen, link, Sorry, send } from "./connection.ts";
import { sendDraft } from "./draft.ts";
import { firstOf } from "./early.ts";
import { said } from "./said.ts";
import { lastRoutine } from "./settings.ts";
import { opened, shut } from "./shown.ts";
import { pump } from "./waiting.ts";

export const folder = signal<{ path: string; routines: readonly Entry[]; notices: readonly string[] } | null>(
  null,
);
/** The routine that was open went to the bin. */
export const gone = signal<string | null>(null);
/** Why the routine could not be opened; a sentence. */
export const openTrouble = signal<string | null>(null);

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
    shut();
  }
  openTrouble.value = null;
  gone.value = null;
  lastRoutine.value = name;
  try {
    await askToOpen(have === undefined ? { name } : { name, have });
    // Where it is as we had it, nothing else comes to say that what waits can be sent, and what is tried be drafted.
    pump();
    sendDraft();
  } catch (error) {
    if (error instanceof Sorry) openTrouble.value = error.message;
    else throw error;
  }
}

/** The one that was open, or that a page begins with. */
export function openSomething(message: ServerMessage<"welcome">): void {
  const name = opened.value?.name ?? firstOf(message.routines, lastRoutine.peek())?.name;
  if (name !== undefined) void openRoutine(name);
}
