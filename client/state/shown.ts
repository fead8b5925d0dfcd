/** The open routine as the screens look at it: as it is, with what is tried over it, or as it was. */
import { computed, signal } from "@preact/signals";
import type { Past } from "../../schemas/wire.ts";
import type { Opened } from "./opened.ts";

/** As the server last said it. */
export const opened = signal<Opened | null>(null);
/** The same with the draft over it. */
export const drafted = signal<Opened | null>(null);
/** A moment of the past that is looked at in place of the present: nothing can be changed meanwhile. */
export const past = signal<{ readonly edit: Past; readonly opened: Opened } | null>(null);
/** What is shown. */
export const shown = computed(() => past.value?.opened ?? drafted.value);

/** Nothing is open any more. */
export function shut(): void {
  opened.value = null;
  drafted.value = null;
  past.value = null;
}
