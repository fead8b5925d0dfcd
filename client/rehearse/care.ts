/**
 * Pauses: counted in time and in what the hands did, proposed and never forced. How long is too long differs from
 * person to person; the figures are ours, and the user's to change.
 */
import { computed, signal } from "@preact/signals";
import { pauses } from "./settings.ts";

/** Minutes without playing that count as a pause. */
const PAUSE = 3;

/** Milliseconds of `performance.now()`: when playing began after the last pause, and when a round ended last. */
const began = signal<number | null>(null);
const lastWork = signal(0);
/** Strokes and clicks since the last pause. */
export const moves = signal(0);

/** A round is over in which the hands did so much. */
export function worked(count: number, at = performance.now()): void {
  if (began.value === null || at - lastWork.value > PAUSE * 60_000) {
    began.value = at;
    moves.value = 0;
  }
  lastWork.value = at;
  moves.value += count;
}

export function pauseTaken(): void {
  began.value = null;
  moves.value = 0;
}

/** Why a pause would do good now; null while none is due. */
export const pauseDue = computed((): string | null => {
  if (began.value === null) return null;
  const minutes = (lastWork.value - began.value) / 60_000;
  const { minutes: long, moves: many } = pauses.value;
  const tired = (long > 0 && minutes >= long) || (many > 0 && moves.value >= many);
  if (!tired) return null;
  return `${Math.round(minutes)} minutes and ${moves.value.toLocaleString("en")} strokes and clicks without a pause. Let the hands hang for a few minutes.`;
});
