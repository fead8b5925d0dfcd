/** The candidate in hand: gone to, heard in a loop, kept. */
import { signal } from "@preact/signals";
import type { Pattern, Routine, Section } from "../../schemas/routine.ts";
import { material } from "../audio/material.ts";
import { change } from "../state/change.ts";
import { draft, noDraft } from "../state/draft.ts";
import { said } from "../state/said.ts";
import { routineAhead, taken } from "../state/turn.ts";
import { aloneRoutine } from "../write/phrase.ts";
import { freshId } from "../parts/ids.ts";
import { type Candidate, PAGE, pageEdits } from "./candidates.ts";

/** Index in the list. */
export const chosen = signal(0);
export interface Kept {
  readonly id: string;
  readonly name: string;
}
/** The phrases that were kept from this list, by the candidate. */
export const kept = signal<ReadonlyMap<Candidate, Kept>>(new Map());

/** What a candidate was kept as; undefined where it was not, or is not there any more. */
export function keptAs(one: Candidate): Kept | undefined {
  const known = kept.value.get(one);
  return routineAhead()?.patterns.some(({ id }) => id === known?.id) ? known : undefined;
}

export const pageStart = (index: number): number => Math.floor(index / PAGE) * PAGE;

/** Shows the page of the one in hand, and has it heard from the next bar on. @param home lends metre, tempo, beat */
export function show(routine: Routine, home: Section, candidates: readonly Candidate[], index: number): void {
  const from = pageStart(index);
  const one = candidates[index];
  if (one === undefined) {
    noDraft();
    material.value = null;
    return;
  }
  const page = candidates.slice(from, from + PAGE);
  draft({ kind: "batch", edits: pageEdits(routine, home, page, index - from) as [] });
  material.value = { kind: "alone", routine: aloneRoutine(routine, home, one.pattern) as never };
}

/** A name that no phrase has yet: "2 under 3", "2 under 3, 2". */
function freshName(name: string, patterns: readonly Pattern[]): string {
  const names = new Set(patterns.map((pattern) => pattern.name));
  let fresh = name;
  for (let number = 2; names.has(fresh); number++) fresh = `${name}, ${number}`;
  return fresh;
}

/** Makes it a phrase of the routine, as one undo step. */
export function keep(one: Candidate): void {
  const routine = routineAhead();
  if (routine === null) return;
  const before = keptAs(one);
  if (before !== undefined) {
    said.value = `It is kept already, as ${before.name}.`;
    return;
  }
  const name = freshName(one.pattern.name ?? "Found", routine.patterns);
  const id = freshId(name, taken("pattern"));
  change({ kind: "add-pattern", pattern: { ...one.pattern, id, name } }, `Keep ${name}`);
  kept.value = new Map([...kept.value, [one, { id, name }]]);
}
