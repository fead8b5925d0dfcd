/** Where in a beat one is, and its hits as they are at this moment: dragged, or on their way to the server. */
import { effect, signal } from "@preact/signals";
import type { Beat, Hit } from "../../schemas/routine.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { waitingHere } from "../state/waiting.ts";

/** The frame that the arrow keys move. */
export const beatCaret = signal({ key: 36, at: 0 });
const tryingHits = signal<{ readonly id: string; readonly hits: readonly Hit[] } | null>(null);
const dragging = signal(false);

/** So that one edit builds on the one before, also before the server answers. */
export function hitsNow(id: string): readonly Hit[] {
  if (tryingHits.value?.id === id) return tryingHits.value.hits;
  return opened.value?.routine.beats.find((one) => one.id === id)?.hits ?? [];
}
export function keepHits(beat: Beat, hits: readonly Hit[], words = `Draw ${beat.name ?? beat.id}`): void {
  tryingHits.value = { id: beat.id, hits };
  change({ kind: "change-beat", id: beat.id, set: { hits } }, words);
  dragging.value = false;
}
/** Shows them without keeping them; null: as they were. */
export function showHits(beat: Beat, hits: readonly Hit[] | null): void {
  dragging.value = hits !== null;
  if (hits !== null) tryingHits.value = { id: beat.id, hits };
}

effect(() => {
  if (!dragging.value && waitingHere.value.length === 0) tryingHits.value = null;
});
