/** How safe is what was done, in a word. */
import { computed, signal } from "@preact/signals";
import type { Saved } from "../../schemas/wire.ts";
import { link } from "./connection.ts";
import { opened } from "./shown.ts";
import { waitingHere } from "./waiting.ts";

/** Apart from the routine: how it stands on disk changes nothing that is drawn of it. */
export const saved = signal<Saved>({ state: "saved" });

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
