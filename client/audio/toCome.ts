/** What was asked for with the next group, beat or bar: said until it is heard. */
import { signal } from "@preact/signals";

/** In words; null: nothing is to come. */
export const coming = signal<string | null>(null);
/** The frame at which it is heard; null: not known yet. */
let comesAt: number | null = null;

export function toCome(when: "now" | "group" | "beat" | "bar", words: string): void {
  nothingComes();
  if (when !== "now") coming.value = `With the next ${when}: ${words}`;
}
export function nothingComes(): void {
  coming.value = null;
  comesAt = null;
}
export function comesWith(frame: number): void {
  comesAt = frame;
}
/** @param frame of the play that was reached */
export function reached(frame: number): void {
  if (comesAt !== null && comesAt <= frame) nothingComes();
}
