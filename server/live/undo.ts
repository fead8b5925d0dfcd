/** The line of edits that undo and redo walk along; it can be made again from the journal, so that it outlives the process. */
import { applyPatch, type Patch, patchBetween } from "../../schemas/patch.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { EditRecord } from "../store/interfaces.ts";
import { bringForward, type Ops, opsOf } from "./journalledEdit.ts";

/** One step that can be undone or done again. */
export interface Step {
  readonly words: string;
  readonly back: Patch;
  readonly forth: Patch;
}

/** Steps kept for undo, at least; twice as many at most. */
const LEAST_STEPS = 1000;

/** Steps, the newest first; the rest is shared with the line before, so that one more costs the same however many. */
export interface Steps {
  readonly step: Step;
  readonly rest: Steps | null;
  readonly count: number;
}

/** The line of edits that undo and redo walk along, shared by all pages. A new edit cuts off what was undone. */
export interface Line {
  readonly done: Steps | null;
  readonly undone: Steps | null;
}
export const EMPTY_LINE: Line = { done: null, undone: null };

function withStep(rest: Steps | null, step: Step): Steps {
  const count = (rest?.count ?? 0) + 1;
  return count < 2 * LEAST_STEPS
    ? { step, rest, count }
    : { step, rest: newest(rest, LEAST_STEPS), count: LEAST_STEPS + 1 };
}

function newest(steps: Steps | null, count: number): Steps | null {
  const kept: Step[] = [];
  for (let at = steps; at !== null && kept.length < count; at = at.rest) kept.push(at.step);
  return kept.reduceRight<Steps | null>(
    (rest, step) => ({ step, rest, count: (rest?.count ?? 0) + 1 }),
    null,
  );
}

/** @param step the edit's own step; for undo and redo what it does to the routine is known from the line */
export function walk({ done, undone }: Line, how: Ops["how"], step: Step): Line {
  if (how === "edit") return { done: withStep(done, step), undone: null };
  const walked = how === "undo" ? done : undone;
  if (walked === null) return { done, undone };
  return how === "undo"
    ? { done: walked.rest, undone: withStep(undone, walked.step) }
    : { done: withStep(done, walked.step), undone: walked.rest };
}

/**
 * The line after a journal's records. Those from before the start are known by their way back only; what each did is
 * found by going back from the start, as far as that leads.
 */
export function lineOf(start: Routine, before: readonly EditRecord[], after: readonly EditRecord[]): Line {
  let line = EMPTY_LINE;
  for (const { step, how } of stepsBefore(start, before)) line = walk(line, how, step);
  let routine = start;
  for (const record of after) {
    const ops = opsOf(record);
    const next = bringForward(routine, record);
    line = walk(line, ops.how, stepOf(ops, routine, next));
    routine = next;
  }
  return line;
}

/** Both ways as patches. */
const stepOf = ({ words, back }: Pick<Ops, "words" | "back">, from: Routine, to: Routine): Step => ({
  words,
  back: back as Patch,
  forth: patchBetween(from, to),
});

function stepsBefore(start: Routine, before: readonly EditRecord[]): { how: Ops["how"]; step: Step }[] {
  const steps: { how: Ops["how"]; step: Step }[] = [];
  let routine = start;
  for (const record of [...before].reverse()) {
    try {
      const ops = opsOf(record);
      const earlier = applyPatch(routine, ops.back as Patch);
      steps.push({ how: ops.how, step: stepOf(ops, earlier, routine) });
      routine = earlier;
    } catch {
      break; // As far as it leads.
    }
  }
  return steps.reverse();
}
