/** What can be practised of the open routine, and in which order it is worth it. */
import { computed } from "@preact/signals";
import { opened } from "../state/store.ts";
import { type Part, partsOf } from "./drills.ts";
import { dayOf, nextUp, practisedBy } from "./nextUp.ts";
import { entries } from "./practice.ts";
import { drill } from "./settings.ts";

export const parts = computed(() =>
  opened.value === null ? [] : partsOf(opened.value, drill.value.joinBars),
);
export const partNamed = (key: string): Part | undefined => parts.value.find((part) => part.key === key);

/** What should come first tomorrow: the most needful of what is due by then. */
export function firstTomorrow(): Part | undefined {
  const first = upNext.value.find(({ in: days }) => days <= 1);
  return first === undefined ? undefined : partNamed(first.key);
}

/** Joins and phrases, the most needful first. */
export const upNext = computed(() =>
  nextUp(
    parts.value.flatMap(({ key, of }) =>
      of.kind === "join" || of.kind === "phrase" ? [{ key, kind: of.kind }] : [],
    ),
    practisedBy(entries.value),
    dayOf(new Date()),
  ),
);
