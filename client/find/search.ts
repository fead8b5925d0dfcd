/** The search that is going on, and what it found. One at a time: a new one takes the place of the one before. */
import { effect, signal, untracked } from "@preact/signals";
import type { FindProgress, FindQuestion } from "../../schemas/find.ts";
import type { Pattern, Routine } from "../../schemas/routine.ts";
import { ask, link, listen, send } from "../state/connection.ts";
import { type Candidate, ofFound, ofNeighbour } from "./candidates.ts";
import { countingOf, FIRST_WISH, questionOf, troubleOf, type Wish } from "./wish.ts";

export const wish = signal<Wish>(FIRST_WISH);

export type SearchState =
  | { readonly kind: "none" }
  /** So many combinations are more than is looked through unasked. */
  | { readonly kind: "large"; readonly total: string; readonly start: () => void }
  | { readonly kind: "looking-around" }
  | { readonly kind: "running"; readonly total: string; readonly progress: FindProgress | null }
  | {
      readonly kind: "done";
      readonly of: "combinations" | "neighbours";
      /** Exact, as text: those that match, and all that there are. */
      readonly count: string;
      readonly total: string;
      readonly complete: boolean;
      readonly candidates: readonly Candidate[];
    }
  /** Without a connection it is tried again once that is back. */
  | { readonly kind: "trouble"; readonly message: string; readonly again?: () => void };

export const search = signal<SearchState>({ kind: "none" });

/** More combinations than these are looked through only when asked to: it takes seconds, and the machine. */
const UNASKED = 2_000_000n;

/** Milliseconds. */
const SOON = 150;

let current = 0;
let asked: number | null = null;
let cancelling = false;
let around: AbortController | null = null;

listen((message) => {
  if (message.type !== "find-progress" || search.value.kind !== "running") return;
  asked = message.ask;
  search.value = { ...search.value, progress: message.progress };
  if (cancelling) cancel();
});

/** Ends the search; what it saw until now is shown. */
export function cancel(): void {
  cancelling = true;
  if (asked !== null) send({ type: "find-cancel", ask: asked });
}

function begin(): number {
  current += 1;
  asked = null;
  cancelling = false;
  return current;
}

const told = (error: unknown, again: () => void): SearchState => ({
  kind: "trouble",
  message: error instanceof Error ? error.message : String(error),
  ...(link.value === "open" ? {} : { again }),
});
effect(() => {
  const now = search.peek();
  if (link.value === "open" && now.kind === "trouble") untracked(() => now.again?.());
});

/** Looks for what is wished; a vast space is only counted until the user says so. */
export async function look(routine: Routine, meter: string): Promise<void> {
  const mine = begin();
  const wanted = wish.value;
  const trouble = troubleOf(wanted);
  if (trouble !== null) {
    search.value = { kind: "trouble", message: trouble };
    return;
  }
  const question = questionOf(wanted, routine, meter);
  try {
    const { answer } = await ask<"found">({ type: "find", question: countingOf(question) as never });
    if (mine !== current) return;
    const go = (): void => void lookThrough(question, wanted, answer.count);
    if (BigInt(answer.count) > UNASKED) search.value = { kind: "large", total: answer.count, start: go };
    else go();
  } catch (error) {
    if (mine === current) search.value = told(error, () => void look(routine, meter));
  }
}

async function lookThrough(question: FindQuestion, wanted: Wish, total: string): Promise<void> {
  const mine = begin();
  // What comes at once takes the place of what was there, with nothing in between.
  const waiting = setTimeout(() => {
    if (mine === current) search.value = { kind: "running", total, progress: null };
  }, SOON);
  try {
    const { answer } = await ask<"found">({ type: "find", question: question as never });
    if (mine !== current) return;
    const { count, complete } = answer;
    const candidates = answer.combinations.map((found) => ofFound(found, wanted));
    search.value = { kind: "done", of: "combinations", count, total, complete, candidates };
  } catch (error) {
    if (mine === current) search.value = told(error, () => void lookThrough(question, wanted, total));
  } finally {
    clearTimeout(waiting);
  }
}

/** What is one change away from a phrase, the easiest first. */
export async function lookAround(pattern: Pattern, meter: string): Promise<void> {
  around?.abort();
  const mine = begin();
  around = new AbortController();
  search.value = { kind: "looking-around" };
  const question = { pattern: pattern as never, meter };
  try {
    const { answer } = await ask<"neighbours">({ type: "neighbours", ...question }, around.signal);
    if (mine !== current) return;
    const candidates = answer.neighbours.map((one) => ofNeighbour(one, answer.here));
    const count = `${candidates.length}`;
    search.value = { kind: "done", of: "neighbours", count, total: count, complete: true, candidates };
  } catch (error) {
    if (mine === current) search.value = told(error, () => void lookAround(pattern, meter));
  }
}

export function stopLooking(): void {
  around?.abort();
  begin();
  search.value = { kind: "none" };
}

/** Leaving the screen ends what is going on. */
export function leave(): void {
  cancel();
  stopLooking();
}
