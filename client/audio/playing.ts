/** How playing stands, for all who show it or wait for it. */
import { computed, signal } from "@preact/signals";

export const playing = signal(false);
/** The play was asked for, and its sound has not begun. */
export const starting = signal(false);
/** A play goes on, or was asked for. */
export const underWay = computed(() => playing.value || starting.value);
/** A sentence, where it cannot be played. */
export const soundTrouble = signal<string | null>(null);
export const preparing = signal<string | null>(null);
export const underruns = signal(0);
/** How long the server takes to render, against how long it plays; null: not said yet. */
export const renderLoad = signal<number | null>(null);
