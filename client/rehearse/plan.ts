/** What can be practised of the open routine, and in which order it is worth it. */
import { computed } from "@preact/signals";
import { opened } from "../state/shown.ts";
import { type Part, partsOf } from "./drills.ts";
import { dayOf, type Next, nextUp, practisedBy } from "./nextUp.ts";
import { entries } from "./practice.ts";
import { drill } from "./settings.ts";

export const parts = computed(() =>
  opened.value === null ? [] : partsOf(opened.value, drill.value.joinBars),
);
export const partNamed = (key: string): Part | undefined => parts.value.find((part) => part.key === key);

/** What should come first tomorrow. */
export function firstTomorrow(): Part | undefined {
  const first = orderOn(dayOf(new Date()) + 1)[0];
  return first === undefined ? undefined : partNamed(first.key);
}

const practised = computed(() => practisedBy(entries.value));
const orderOn = (day: number): readonly Next[] =>
  nextUp(
    parts.value.flatMap(({ key, of }) =>
      of.kind === "join" || of.kind === "phrase" ? [{ key, kind: of.kind }] : [],
    ),
    practised.value,
    day,
  );
/** Joins and phrases, the most needful first. */
export const upNext = computed(() => orderOn(dayOf(new Date())));
