/** A sentence for screen readers alone: what the eye sees on the screen already. */
import { signal } from "@preact/signals";

export const told = signal("");
