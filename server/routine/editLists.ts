/** Lists of things with ids, changed one thing at a time; what is not touched stays the same object. */
import { isDeepStrictEqual } from "node:util";

interface HasId {
  readonly id: string;
}

/** An edit that cannot be made; the message says what, where, and what to do. */
export class Refused extends Error {}

/** @throws Refused */
export function find<Item extends HasId>(list: readonly Item[], id: string, what: string): Item {
  const item = list.find((one) => one.id === id);
  if (item === undefined) {
    throw new Refused(`There is no ${what} "${id}" any more. It was removed meanwhile; choose another.`);
  }
  return item;
}

/** @param before id of the item that comes after it; null: at the end. @throws Refused */
export function insert<Item extends HasId>(
  list: readonly Item[],
  item: Item,
  before: string | null,
  what: string,
): readonly Item[] {
  if (list.some(({ id }) => id === item.id)) {
    throw new Refused(`There is a ${what} "${item.id}" already. Give the new one another id.`);
  }
  if (before === null) return [...list, item];
  const place = list.indexOf(find(list, before, what));
  return [...list.slice(0, place), item, ...list.slice(place)];
}

export const without = <Item extends HasId>(list: readonly Item[], id: string): readonly Item[] =>
  list.filter((item) => item.id !== id);

/** @throws Refused */
export function move<Item extends HasId>(
  list: readonly Item[],
  id: string,
  before: string | null,
  what: string,
): readonly Item[] {
  const item = find(list, id, what);
  if (before === id) return list;
  const moved = insert(without(list, id), item, before, what);
  return moved.every((one, index) => one === list[index]) ? list : moved;
}

/** @throws Refused */
export function change<Item extends HasId>(
  list: readonly Item[],
  id: string,
  how: (item: Item) => Item,
  what: string,
): readonly Item[] {
  const item = find(list, id, what);
  const changed = how(item);
  return changed === item ? list : list.map((one) => (one === item ? changed : one));
}

/** `null` takes a field out; a field that is undefined or missing in `set` stays. The same object if nothing changes. */
export function assign<Item extends object>(item: Item, set: Readonly<Record<string, unknown>>): Item {
  const result = { ...item } as Record<string, unknown>;
  for (const [field, value] of Object.entries(set)) {
    if (value === undefined) continue;
    if (value === null) delete result[field];
    else if (!isDeepStrictEqual(result[field], value)) result[field] = value;
  }
  const fields = Object.keys(result);
  const untouched =
    fields.length === Object.keys(item).length &&
    fields.every((field) => result[field] === (item as Record<string, unknown>)[field]);
  return untouched ? item : (result as Item);
}
