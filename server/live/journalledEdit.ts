/** What stands in the journal for each edit, and how a routine is brought forward by it. */
import { z } from "zod";
import { Edit } from "../../schemas/edit.ts";
import { Patch } from "../../schemas/patch.ts";
import type { Immutable, Routine } from "../../schemas/routine.ts";
import type { EditRecord } from "../store/interfaces.ts";
import { applyEdit } from "../routine/edit.ts";

/** The `ops` of a record. `back` leads to the routine before, so that undo outlives the process. */
export const Ops = z.strictObject({
  how: z.enum(["edit", "undo", "redo"]),
  words: z.string(),
  edit: Edit,
  back: Patch,
});
export type Ops = Immutable<z.infer<typeof Ops>>;

export const opsOf = (record: EditRecord): Ops => Ops.parse(record.ops) as Ops;

/** @throws Error where the record does not fit the routine: the journal is not this routine's */
export function bringForward(routine: Routine, record: EditRecord): Routine {
  const applied = applyEdit(routine, opsOf(record).edit);
  if ("refused" in applied)
    throw new Error(`The journal's edit ${record.rev} does not fit: ${applied.refused}`);
  return applied.routine;
}
