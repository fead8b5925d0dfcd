/** Whether a rhythm is tapped, and for which hand. */
import { signal } from "@preact/signals";
import { inHand } from "../inHand.ts";
import type { Hand } from "../phrase.ts";
import { forget } from "./tapInput.ts";

/** null: none. */
export const tapping = signal<Hand | null>(null);
/** The phrase is heard too, not the beat alone. */
export const tapOverPhrase = signal(false);
export function startTapping(): void {
  forget();
  tapping.value = inHand.value.hand;
}
