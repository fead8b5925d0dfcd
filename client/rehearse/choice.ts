/** Which part of the routine, or which joins, a drill goes over. */
import { computed, signal } from "@preact/signals";
import type { Part } from "./drills.ts";
import { parts, upNext } from "./plan.ts";

/** By key; "joins", or "joins" and a section: all of them in random order. null: the first that is due. */
export const chosenKey = signal<string | null>(null);
export const JOINS = "joins";
/** Several joins are chosen. */
export const mixed = computed(() => chosenKey.value?.split(" ")[0] === JOINS);

/** The parts that the drill goes over: one, or all joins. */
export function chosenParts(): readonly Part[] {
  const all = parts.value;
  if (mixed.value) {
    const into = chosenKey.value?.split(" ")[1];
    const joins = all.filter(({ join }) => join !== null && (into ?? join.to.section) === join.to.section);
    // Where the section has none any more, all are practised.
    return joins.length > 0 ? joins : all.filter(({ join }) => join !== null);
  }
  const key = chosenKey.value ?? upNext.value[0]?.key;
  const one = all.find((part) => part.key === key) ?? all[0];
  return one === undefined ? [] : [one];
}
