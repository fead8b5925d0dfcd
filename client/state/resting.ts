/**
 * One's own edits rest on each other: what waits for the server is not in the routine yet, as long as there is no
 * connection, and what comes after it is made as if it were. Pure.
 */
import type { Edit, PlacementAddress, SingleEdit } from "../../schemas/edit.ts";
import { idsOf } from "../../schemas/freeId.ts";
import { samplesOf } from "../../schemas/rig.ts";
import type { Placement, Routine, Section } from "../../schemas/routine.ts";
import { type Intent, lineOf } from "./outbox.ts";

const singles = (edits: readonly Edit[]): readonly SingleEdit[] =>
  edits.flatMap((edit) => (edit.kind === "batch" ? edit.edits : [edit]));

/** The edits that will stand. What the past brings is not known here, and what came before it stands no more. */
export const standing = (intents: readonly Intent[]): readonly Edit[] =>
  lineOf(intents.map((intent) => ({ intent }))).done.reduce<readonly Edit[]>(
    (edits, { intent }) => (intent.kind === "edit" ? [...edits, intent.edit] : []),
    [],
  );

/** Fields set, or taken out where the value is null. */
const withFields = <Thing extends object>(thing: Thing, set: object): Thing =>
  Object.fromEntries(Object.entries({ ...thing, ...set }).filter(([, value]) => value != null)) as Thing;

const changedIn = <Item extends { readonly id: string }>(
  items: readonly Item[],
  { id, set }: { readonly id: string; readonly set: object },
): readonly Item[] => items.map((item) => (item.id === id ? withFields(item, set) : item));

/** @param before which one; null: at the end */
function withOne<Item extends { readonly id: string }>(
  items: readonly Item[],
  item: Item,
  before: string | null = null,
): readonly Item[] {
  const at = items.findIndex(({ id }) => id === before);
  return at < 0 ? [...items, item] : [...items.slice(0, at), item, ...items.slice(at)];
}

const withPlacements = (routine: Routine, how: (section: Section) => readonly Placement[]): Routine => ({
  ...routine,
  sections: routine.sections.map((section) => {
    const placements = how(section);
    return placements === section.placements ? section : { ...section, placements };
  }),
});

type Of<Kind extends SingleEdit["kind"]> = Extract<SingleEdit, { kind: Kind }>;

const withChanged = (routine: Routine, { changes }: Of<"change-placements">): Routine =>
  withPlacements(routine, ({ id, placements }) => {
    const leaves = ({ placement, into }: (typeof changes)[number]): boolean =>
      into !== undefined && into !== placement.section;
    const own = changes.filter(({ placement }) => placement.section === id);
    const coming = changes.filter((change) => leaves(change) && change.into === id);
    if (own.length + coming.length === 0) return placements;
    const at = new Map(own.map((change) => [change.placement.index, change]));
    const here = placements.flatMap((one, index) => {
      const change = at.get(index);
      return change === undefined ? [one] : leaves(change) ? [] : [change.to];
    });
    return [...here, ...coming.map(({ to }) => to)];
  });

const withoutSome = (routine: Routine, gone: Of<"remove-placements">["placements"]): Routine =>
  withPlacements(routine, ({ id, placements }) => {
    const at = new Set(gone.filter(({ section }) => section === id).map(({ index }) => index));
    return at.size === 0 ? placements : placements.filter((_, index) => !at.has(index));
  });

function applied(routine: Routine, edit: SingleEdit): Routine {
  switch (edit.kind) {
    case "change-rig":
      return { ...routine, rig: withFields(routine.rig ?? {}, edit.set) };
    case "set-mappings":
      return withFields(routine, { mappings: edit.mappings });
    case "add-section":
      return { ...routine, sections: withOne(routine.sections, edit.section, edit.before) };
    case "add-pattern":
      return { ...routine, patterns: withOne(routine.patterns, edit.pattern, edit.before) };
    case "add-beat":
      return { ...routine, beats: withOne(routine.beats, edit.beat, edit.before) };
    case "add-placements":
      return withPlacements(routine, ({ id, placements }) =>
        id === edit.section ? [...placements, ...edit.placements] : placements,
      );
    case "change-placements":
      return withChanged(routine, edit);
    case "remove-placements":
      return withoutSome(routine, edit.placements);
    case "change-section":
      return { ...routine, sections: changedIn(routine.sections, edit) };
    case "change-pattern":
      return { ...routine, patterns: changedIn(routine.patterns, edit) };
    case "change-beat":
      return { ...routine, beats: changedIn(routine.beats, edit) };
    default:
      return routine;
  }
}

/** The routine as it will be, as far as what comes next leans on it: what was added, placements, and fields that are written whole. */
export const ahead = (routine: Routine, waiting: readonly Edit[]): Routine =>
  singles(waiting).reduce(applied, routine);

/** Ids of one kind that are taken, or will be. What goes or is called otherwise keeps its id until then. */
export function takenIds(
  routine: Routine,
  waiting: readonly Edit[],
  of: "section" | "pattern" | "beat" | "sample",
): Set<string> {
  const then = ahead(routine, waiting);
  const lists = {
    section: then.sections,
    pattern: then.patterns,
    beat: then.beats,
    sample: samplesOf(then.rig),
  };
  const given = singles(waiting).flatMap((edit) =>
    edit.kind === "change-id" && edit.of === of ? [edit.to] : [],
  );
  return new Set([...idsOf(lists[of]), ...given]);
}

function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  const [one, other] = [a, b] as Record<string, unknown>[];
  const keys = Object.keys(one!);
  return (
    keys.length === Object.keys(other!).length &&
    keys.every((key) => key in other! && same(one![key], other![key]))
  );
}

/** Where a placement will be found, and with which values. One that goes is looked for in vain, as it should be. */
function followed(address: PlacementAddress, waiting: readonly SingleEdit[]): PlacementAddress {
  let { index, expected } = address;
  const { section } = address;
  const before = (one: { readonly section: string; readonly index: number }): boolean =>
    one.section === section && one.index < index;
  for (const edit of waiting) {
    if (edit.kind === "remove-placements") index -= edit.placements.filter(before).length;
    if (edit.kind !== "change-placements") continue;
    const own = edit.changes.find(
      ({ placement: one, into }) =>
        into === undefined && one.section === section && one.index === index && same(one.expected, expected),
    );
    if (own !== undefined) expected = own.to;
    index -= edit.changes.filter(({ placement, into }) => into !== undefined && before(placement)).length;
  }
  return { section, index, expected };
}

/** What was changed from one value to another, changed in a third. */
const merged = (from: Placement, to: Placement, into: Placement): Placement => {
  const [old, next] = [from, to] as unknown as Record<string, unknown>[];
  const keys = [...new Set([...Object.keys(from), ...Object.keys(to)])];
  const set = keys.filter((key) => !same(old![key], next![key])).map((key) => [key, next![key]]);
  return withFields(into, Object.fromEntries(set));
};

function restingOne(edit: SingleEdit, waiting: readonly SingleEdit[]): SingleEdit {
  switch (edit.kind) {
    case "change-placements":
      return {
        ...edit,
        changes: edit.changes.map((change) => {
          const placement = followed(change.placement, waiting);
          return {
            ...change,
            placement,
            to: merged(change.placement.expected, change.to, placement.expected),
          };
        }),
      };
    case "remove-placements":
      return { ...edit, placements: edit.placements.map((one) => followed(one, waiting)) };
    default:
      return edit;
  }
}

/** The edit with placements addressed as what waits will leave them. @param waiting of the same routine, in order */
export function resting(edit: Edit, waiting: readonly Edit[]): Edit {
  const before = singles(waiting);
  if (before.length === 0) return edit;
  if (edit.kind !== "batch") return restingOne(edit, before);
  return { ...edit, edits: edit.edits.map((one) => restingOne(one, before)) };
}
