/** A mend does what it promises, on random routines. */
import { describe, expect, it } from "vitest";
import type { Mend, MendKind } from "../../schemas/facts.ts";
import type { Routine } from "../../schemas/routine.ts";
import { Edit } from "../../schemas/edit.ts";
import { describe as describeRoutine } from "../../server/facts/describe.ts";
import { mendsOf } from "../../server/facts/mends.ts";
import { checkRoutine } from "../../server/routine/check.ts";
import { compile } from "../../server/routine/compile.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { holds } from "../reference/laws.ts";
import { routines } from "../reference/random.ts";

const facts = (routine: Routine) => describeRoutine(routine, compile(routine));

function applied(routine: Routine, { edit }: Mend): Routine {
  const result = applyEdit(routine, Edit.parse(edit));
  if ("refused" in result) throw new Error(result.refused);
  return result.routine;
}

const ascending = (mends: readonly Mend[]) =>
  mends.every(({ quarters }, n) => n === 0 || quarters >= (mends[n - 1]?.quarters ?? 0));

describe("mends", () => {
  it("give the verdict they promise, the smallest first, and bring no error", () => {
    const kinds = new Map<MendKind, number>();
    let joins = 0;
    holds("mends", 25, routines, (routine) => {
      const before = facts(routine);
      for (const { id, joins: here, placements } of before.sections) {
        for (const { to, verdict } of here) {
          const { join: mends } = mendsOf(routine, to);
          if (verdict !== "beyond your limits") {
            expect(mends).toEqual([]);
            continue;
          }
          joins++;
          expect(ascending(mends)).toBe(true);
          for (const mend of mends) {
            kinds.set(mend.kind, (kinds.get(mend.kind) ?? 0) + 1);
            const after = applied(routine, mend);
            expect(checkRoutine(after)).toEqual([]);
            const join = facts(after)
              .sections.find((section) => section.id === to.section)
              ?.joins.find((one) => one.to.placement === to.placement);
            expect(join?.verdict).toBe(mend.promises);
            expect(mend.promises).not.toBe("beyond your limits");
          }
        }
        for (const { placement, landing } of placements) {
          const { landing: mends } = mendsOf(routine, { section: id, placement });
          if (landing.steps === "0") expect(mends).toEqual([]);
          expect(ascending(mends)).toBe(true);
          for (const mend of mends) {
            kinds.set(mend.kind, (kinds.get(mend.kind) ?? 0) + 1);
            const after = applied(routine, mend);
            expect(checkRoutine(after)).toEqual([]);
            const landed = facts(after)
              .sections.find((section) => section.id === id)
              ?.placements.find((one) => one.placement === placement);
            expect(landed?.landing.steps).toBe("0");
          }
        }
      }
    });
    console.log("mends:", Object.fromEntries(kinds));
    expect(joins).toBeGreaterThan(0);
  });
});
