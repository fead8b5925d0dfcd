/**
 * Practice that was not added to the folder yet: kept in this browser over a reload, by the name of its routine. It
 * follows a routine that is renamed while this page is told so; what belongs to none in the folder is offered.
 */
import { computed, signal } from "@preact/signals";
import { PracticeEntry } from "../../schemas/practice.ts";
import type { FromServer } from "../../schemas/wire.ts";
import { listen } from "../state/connection.ts";
import { folder } from "../state/opening.ts";

export interface Unsent {
  readonly name: string;
  readonly entry: PracticeEntry;
}

const KEPT = "countercut.practice";

function kept(): readonly Unsent[] {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(KEPT) ?? "[]");
    if (!Array.isArray(found)) return [];
    return found.filter(
      (one): one is Unsent => typeof one?.name === "string" && PracticeEntry.safeParse(one.entry).success,
    );
  } catch {
    return [];
  }
}

export const unsent = signal<readonly Unsent[]>(typeof localStorage === "undefined" ? [] : kept());

function keep(next: readonly Unsent[]): void {
  unsent.value = next;
  try {
    localStorage.setItem(KEPT, JSON.stringify(next));
  } catch {
    // Full or shut off: what waits lasts as long as the page.
  }
}

export const toSend = (name: string, entry: PracticeEntry): void => keep([...unsent.peek(), { name, entry }]);
/** By its id: it may have been given to another routine on the way. */
export const wasSent = ({ entry: { id } }: Unsent): void =>
  keep(unsent.peek().filter(({ entry }) => entry.id !== id));

/** What waits for one routine is another's from now on. */
export const calledOtherwise = <One extends { readonly name: string }>(
  all: readonly One[],
  from: string,
  to: string,
): readonly One[] => all.map((one) => (one.name === from ? { ...one, name: to } : one));
export const giveTo = (from: string, to: string): void => keep(calledOtherwise(unsent.peek(), from, to));
export const throwAway = (name: string): void => keep(unsent.peek().filter((one) => one.name !== name));

/** Whether the folder has a routine of that name; while it is not known yet, it may have. */
export const hasHome = ({ name }: Pick<Unsent, "name">): boolean =>
  folder.value === null || folder.value.routines.some((one) => one.name === name);

/** Names of routines that are in the folder no more, and how many entries wait for each. */
export const homeless = computed((): ReadonlyMap<string, number> => {
  const found = new Map<string, number>();
  for (const one of unsent.value) if (!hasHome(one)) found.set(one.name, (found.get(one.name) ?? 0) + 1);
  return found;
});

export function followNews(message: FromServer): void {
  if (message.type === "renamed" && message.to !== null && unsent.peek().length > 0)
    giveTo(message.name, message.to);
}
listen(followNews);
