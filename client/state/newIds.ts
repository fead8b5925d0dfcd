/** What was given another id, here, in another window, or back by undo: whoever points at it follows. */
import { effect } from "@preact/signals";
import type { Routine } from "../../schemas/routine.ts";
import { opened } from "./shown.ts";

type List = "patterns" | "beats" | "sections";
type Tell = (from: string, to: string) => void;

const told: { readonly list: List; readonly tell: Tell }[] = [];

export function onNewId(list: List, tell: Tell): void {
  told.push({ list, tell });
}

/** One id of a list that is otherwise as it was. @returns null where there is none such */
export function newId(
  before: readonly { readonly id: string }[],
  after: readonly { readonly id: string }[],
): { readonly from: string; readonly to: string } | null {
  if (before === after || before.length !== after.length) return null;
  const others = before.flatMap(({ id: from }, index) => {
    const to = after[index]!.id;
    return from === to ? [] : [{ from, to }];
  });
  const [only] = others;
  return only === undefined || others.length > 1 ? null : only;
}

let last: { readonly name: string; readonly routine: Routine } | null = null;
effect(() => {
  const now = opened.value;
  const before = last;
  last = now;
  if (now === null || before === null || now.name !== before.name) return;
  for (const { list, tell } of told) {
    const change = newId(before.routine[list], now.routine[list]);
    if (change !== null) tell(change.from, change.to);
  }
});
