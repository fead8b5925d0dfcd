/** Sections put in, moved, called otherwise, removed; and whose form is open. */
import { batch, signal } from "@preact/signals";
import type { Section } from "../../schemas/routine.ts";
import { beforeWhich } from "../parts/order.ts";
import { onNewId } from "../state/newIds.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { routineAhead, taken } from "../state/turn.ts";
import { chosen } from "./chosen.ts";
import { spot } from "./spot.ts";

/** Sections whose form is open; kept here, as a section that scrolls away is not drawn. */
export const formsOpen = signal<ReadonlySet<string>>(new Set());
export function toggleForm(section: string): void {
  const next = new Set(formsOpen.value);
  if (!next.delete(section)) next.add(section);
  formsOpen.value = next;
}

/** "section-4": an id that no section has. */
function freshId(): { id: string; number: number } | null {
  const sections = routineAhead()?.sections;
  if (sections === undefined) return null;
  const ids = taken("section");
  let number = sections.length + 1;
  while (ids.has(`section-${number}`)) number += 1;
  return { id: `section-${number}`, number };
}

const afterwards = (section: Section): string | null => {
  const sections = opened.value?.routine.sections ?? [];
  return sections[sections.findIndex(({ id }) => id === section.id) + 1]?.id ?? null;
};

/** Four bars, with the metre, the last tempo and the beat of the one before. */
export function addSection(like?: Section): void {
  const last = like ?? opened.value?.routine.sections.at(-1);
  const fresh = freshId();
  if (last === undefined || fresh === null) return;
  const { meter, tempo, beat, swing } = last;
  const section = {
    id: fresh.id,
    name: `Section ${fresh.number}`,
    bars: 4,
    meter,
    tempo: typeof tempo === "number" ? tempo : tempo.to,
    ...(beat === undefined ? {} : { beat }),
    ...(swing === undefined ? {} : { swing }),
    placements: [],
  };
  change({ kind: "add-section", section, before: afterwards(last) }, "Add a section");
}

/** The same again behind it, placements and all. */
export function repeatSection(section: Section): void {
  const fresh = freshId();
  if (fresh === null) return;
  const name = section.name ?? section.id;
  const again = { ...section, id: fresh.id, name: `${name} again`.slice(0, 200) };
  change(
    { kind: "add-section", section: again as Section, before: afterwards(section) } as Parameters<
      typeof change
    >[0],
    `Repeat ${name}`,
  );
}

/** One place up or down. */
export function shiftSection(section: Section, by: 1 | -1): void {
  const before = beforeWhich(opened.value?.routine.sections ?? [], section.id, by);
  if (before === undefined) return;
  const way = by === -1 ? "up" : "down";
  change({ kind: "move-section", id: section.id, before }, `Move ${section.name ?? section.id} ${way}`);
}

export function giveSectionId({ id, name }: Section, to: string): void {
  change({ kind: "change-id", of: "section", id, to }, `Give ${name ?? id} the id ${to}`);
}
/** What is open, chosen or pointed at in it stays so. */
onNewId("sections", (from, to) =>
  batch(() => {
    if (formsOpen.value.has(from)) formsOpen.value = new Set([...formsOpen.value, to]);
    chosen.value = chosen.value.map((one) => (one.section === from ? { ...one, section: to } : one));
    if (spot.value?.section === from) spot.value = { ...spot.value, section: to };
  }),
);

/** A routine keeps one at least. */
export function removeSection(section: Section): void {
  if ((opened.value?.routine.sections.length ?? 0) < 2) return;
  change({ kind: "remove-section", id: section.id }, `Remove ${section.name ?? section.id}`);
}
