/** What pages are told of the store: whether work is safe, and what happened before. */
import type { PageMessage, Past, Saved, ServerMessage } from "../../schemas/wire.ts";
import type { SaveState } from "../store/interfaces.ts";
import type { OpenRoutine } from "./openRoutine.ts";
import { opsOf } from "./journalledEdit.ts";

export function savedOf(state: SaveState): Saved {
  switch (state.is) {
    case "saved":
      return { state: "saved" };
    case "journalled":
      return { state: "saving" };
    case "read-only":
      return { state: "cannot", why: state.why };
    case "changed-outside":
      return {
        state: "outside",
        why: state.outside.gone
          ? "The file was moved or deleted by another program. Your edits are safe here; choose which to keep."
          : "The file was changed by another program. Your edits are safe here; choose which to keep.",
        text: state.outside.text,
      };
  }
}

export async function historyOf(
  routine: OpenRoutine,
  { name, before, limit }: PageMessage<"history">,
): Promise<Pick<ServerMessage<"history">, "name" | "edits" | "more">> {
  const records = await routine.stored.history.list(before ?? routine.present.rev + 1, limit + 1);
  const edits = records
    .slice(0, limit)
    .map((record): Past => ({ rev: record.rev, at: record.at, words: opsOf(record).words }));
  return { name, edits, more: records.length > limit };
}
