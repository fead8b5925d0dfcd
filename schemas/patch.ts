/**
 * What changed between two routines, as plain data: values that are new, and the order where it is another.
 * Found by identity, so that it costs what an edit touched; patching keeps the identity of the rest.
 */
import { z } from "zod";
import { Mappings } from "./mapping.ts";
import { Beat, Id, Name, Pattern, Rig, Routine, Section } from "./routine.ts";

const listPatch = <Item extends z.ZodType>(item: Item) =>
  z.strictObject({
    /** Items that are new or have another value. */
    values: z.array(item),
    /** Ids of the whole list; left out where they are the same, in the same order. */
    order: z.array(Id).optional(),
  });

export const Patch = z.strictObject({
  title: Name.optional(),
  /** null: the field goes. */
  timeLimit: Routine.shape.timeLimit.unwrap().nullable().optional(),
  rig: Rig.nullable().optional(),
  patterns: listPatch(Pattern).optional(),
  beats: listPatch(Beat).optional(),
  sections: listPatch(Section).optional(),
  mappings: Mappings.nullable().optional(),
});

interface ListPatch<Item> {
  readonly values: readonly Item[];
  readonly order?: readonly string[] | undefined;
}
export interface Patch {
  readonly title?: string | undefined;
  readonly timeLimit?: number | null | undefined;
  readonly rig?: Rig | null | undefined;
  readonly patterns?: ListPatch<Pattern> | undefined;
  readonly beats?: ListPatch<Beat> | undefined;
  readonly sections?: ListPatch<Section> | undefined;
  readonly mappings?: Routine["mappings"] | null;
}

interface HasId {
  readonly id: string;
}

const sameOrder = (from: readonly HasId[], to: readonly HasId[]): boolean =>
  from.length === to.length && from.every((item, index) => item.id === to[index]?.id);

/**
 * Items of `to` that are other objects than those of the same id in `from`, each with that one if there is one. Ids
 * must be unique in their list.
 */
export function otherItems<Item extends HasId>(
  from: readonly Item[],
  to: readonly Item[],
): { readonly item: Item; readonly before: Item | undefined }[] {
  if (from === to) return [];
  // Nearly always, and so nothing need be looked up.
  const known = sameOrder(from, to) ? null : new Map(from.map((item) => [item.id, item]));
  const other: { item: Item; before: Item | undefined }[] = [];
  to.forEach((item, index) => {
    const before = known === null ? from[index] : known.get(item.id);
    if (before !== item) other.push({ item, before });
  });
  return other;
}

function listBetween<Item extends HasId>(
  from: readonly Item[],
  to: readonly Item[],
): ListPatch<Item> | undefined {
  if (from === to) return undefined;
  const values = otherItems(from, to).map(({ item }) => item);
  if (!sameOrder(from, to)) return { values, order: to.map(({ id }) => id) };
  return values.length === 0 ? undefined : { values };
}

/** Ids must be unique in their list. The patch of a routine to itself is empty. */
export function patchBetween(from: Routine, to: Routine): Patch {
  const patch: { -readonly [Field in keyof Patch]: Patch[Field] } = {};
  if (from.title !== to.title) patch.title = to.title;
  if (from.timeLimit !== to.timeLimit) patch.timeLimit = to.timeLimit ?? null;
  if (from.rig !== to.rig) patch.rig = to.rig ?? null;
  const patterns = listBetween(from.patterns, to.patterns);
  if (patterns !== undefined) patch.patterns = patterns;
  const beats = listBetween(from.beats, to.beats);
  if (beats !== undefined) patch.beats = beats;
  const sections = listBetween(from.sections, to.sections);
  if (sections !== undefined) patch.sections = sections;
  if (from.mappings !== to.mappings) patch.mappings = to.mappings ?? null;
  return patch;
}

/** A list of things with ids, patched. @throws Error where the patch is of another list */
function patchList<Item extends HasId>(
  list: readonly Item[],
  patch: ListPatch<Item> | undefined,
): readonly Item[] {
  if (patch === undefined) return list;
  const values = new Map(list.map((item) => [item.id, item]));
  for (const item of patch.values) values.set(item.id, item);
  return (patch.order ?? list.map(({ id }) => id)).map((id) => {
    const item = values.get(id);
    if (item === undefined) throw new Error(`The patch speaks of "${id}", which is not there.`);
    return item;
  });
}

/** @throws Error where the patch is of another routine */
export function applyPatch(routine: Routine, patch: Patch): Routine {
  const { timeLimit, rig, mappings, ...rest } = routine;
  const limit = patch.timeLimit === undefined ? timeLimit : (patch.timeLimit ?? undefined);
  const newRig = patch.rig === undefined ? rig : (patch.rig ?? undefined);
  const newMappings = patch.mappings === undefined ? mappings : (patch.mappings ?? undefined);
  return {
    ...rest,
    title: patch.title ?? routine.title,
    ...(limit === undefined ? {} : { timeLimit: limit }),
    ...(newRig === undefined ? {} : { rig: newRig }),
    patterns: patchList(routine.patterns, patch.patterns),
    beats: patchList(routine.beats, patch.beats),
    sections: patchList(routine.sections, patch.sections),
    ...(newMappings === undefined ? {} : { mappings: newMappings }),
  };
}

/** One change of a list that has no ids: from index `at`, `remove` items give way to `values`. */
export interface Splice<Item> {
  readonly at: number;
  readonly remove: number;
  readonly values: readonly Item[];
}

/** The shortest such change from one list to another: what they begin and end with alike stays. */
export function spliceBetween<Item>(
  from: readonly Item[],
  to: readonly Item[],
  same: (a: Item, b: Item) => boolean,
): Splice<Item> {
  const least = Math.min(from.length, to.length);
  let at = 0;
  while (at < least && same(from[at] as Item, to[at] as Item)) at++;
  let alike = 0;
  while (alike < least - at && same(from.at(-1 - alike) as Item, to.at(-1 - alike) as Item)) alike++;
  return { at, remove: from.length - at - alike, values: to.slice(at, to.length - alike) };
}

export const applySplice = <Item>(list: readonly Item[], { at, remove, values }: Splice<Item>): Item[] => [
  ...list.slice(0, at),
  ...values,
  ...list.slice(at + remove),
];
