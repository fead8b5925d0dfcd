/** The mappings of the open routine, those of the folder and our own: chosen, changed, copied, given up. */
import { signal } from "@preact/signals";
import { DEFAULT_MAPPING, type Mapping, OUR_MAPPINGS } from "../../schemas/mapping.ts";
import type { Routine } from "../../schemas/routine.ts";
import { freeId, idsOf } from "../../schemas/freeId.ts";
import { freshId } from "../parts/ids.ts";
import { change } from "../state/change.ts";
import { withRoutine } from "../state/turn.ts";
import { askJson, jsonBody } from "../state/ask.ts";

/** Mappings for all routines of the folder. */
export const shelf = signal<readonly Mapping[]>([]);
export const shelfTrouble = signal<string | null>(null);

export const ownOf = (routine: Routine): readonly Mapping[] =>
  (routine.mappings as readonly Mapping[] | undefined) ?? [];
export const inUse = (routine: Routine): Mapping => ownOf(routine)[0] ?? DEFAULT_MAPPING;
export const titleOf = ({ id, name }: Mapping): string => name ?? id;

const same = (a: Mapping, b: Mapping): boolean => JSON.stringify(a) === JSON.stringify(b);
export const isOurs = (mapping: Mapping): boolean => OUR_MAPPINGS.some((one) => same(one, mapping));

const setAll = (mappings: readonly Mapping[], words: string): void =>
  change({ kind: "set-mappings", mappings: mappings.length === 0 ? null : [...mappings] }, words);

const takenBy = (mappings: readonly Mapping[]): ReadonlySet<string> => idsOf([...mappings, ...OUR_MAPPINGS]);

/** Puts one in use: the routine's own moves to the front, another is copied into the routine. */
export function use(mapping: Mapping): void {
  withRoutine((routine) => {
    const own = ownOf(routine);
    const words = `Write MIDI by ${titleOf(mapping)}`;
    const rest = own.filter((one) => !same(one, mapping) && !isOurs(one));
    if (own.some((one) => same(one, mapping))) setAll([mapping, ...rest], words);
    else if (same(mapping, DEFAULT_MAPPING) && rest.length === 0) setAll([], words);
    else {
      const taken = rest.some(({ id }) => id === mapping.id);
      setAll([taken ? { ...mapping, id: freeId(mapping.id, takenBy(rest)) } : mapping, ...rest], words);
    }
  });
}

/** Changes the one in use; one of ours becomes a copy of the routine's own first. */
export function alter(how: (mapping: Mapping) => Mapping): void {
  withRoutine((routine) => {
    const now = inUse(routine);
    const next = how(now);
    const others = ownOf(routine).slice(1);
    const kept = isOurs(now) ? asOwn(next, `${titleOf(now)}, changed`, others) : next;
    setAll([kept, ...others], `Change how ${titleOf(kept)} writes`);
  });
}
const asOwn = (mapping: Mapping, name: string, others: readonly Mapping[]): Mapping => ({
  ...mapping,
  id: freshId(name, takenBy(others), "mapping"),
  name,
});

export function copyAs(name: string): void {
  withRoutine((routine) => {
    const own = ownOf(routine).filter((one) => !isOurs(one));
    setAll([asOwn(inUse(routine), name, own), ...own], `Copy the mapping as ${name}`);
  });
}
export function forget(): void {
  withRoutine((routine) => setAll(ownOf(routine).slice(1), `Remove the mapping ${titleOf(inUse(routine))}`));
}

// For all routines.

export async function loadShelf(): Promise<void> {
  const got = await askJson<{ mappings: Mapping[] }>("/mappings");
  if ("why" in got) shelfTrouble.value = `The mappings for all routines are not listed. ${got.why}`;
  else {
    shelf.value = got.answer.mappings;
    shelfTrouble.value = null;
  }
}
async function putShelf(mappings: readonly Mapping[]): Promise<void> {
  const got = await askJson<{ mappings: Mapping[] }>("/mappings", jsonBody("PUT", { mappings }));
  if ("why" in got) shelfTrouble.value = got.why;
  else {
    shelf.value = got.answer.mappings;
    shelfTrouble.value = null;
  }
}
export const keepForAll = (mapping: Mapping): Promise<void> =>
  putShelf([...shelf.value.filter(({ id }) => id !== mapping.id), mapping]);
export const notForAll = (mapping: Mapping): Promise<void> =>
  putShelf(shelf.value.filter(({ id }) => id !== mapping.id));
