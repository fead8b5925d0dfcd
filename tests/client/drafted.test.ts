/** What is only looked at is drafted as sections of the routine, also where the file could hold no more of them. */
import { describe, expect, it } from "vitest";
import { pageEdits } from "../../client/find/candidates.ts";
import { ALONE_ID, aloneEdit } from "../../client/write/phrase.ts";
import { MOST_SECTIONS, Routine } from "../../schemas/routine.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { applyEdit } from "../../server/routine/edit.ts";

const [pattern] = DEMO.patterns;
const home = DEMO.sections[0]!;
const withSections = (count: number): Routine => ({
  ...DEMO,
  sections: Array.from({ length: count }, (_, index) => ({ ...home, id: `s-${index}`, placements: [] })),
});
const candidate = {
  pattern: pattern!,
  combinedSteps: "12",
  comeRoundBars: 3,
  comeRoundRepeats: 4,
  difficulty: null,
  ranked: null,
  says: null,
  harder: null,
};

describe("a draft of a routine with as many sections as a file may hold", () => {
  for (const count of [1, MOST_SECTIONS - 2, MOST_SECTIONS - 1, MOST_SECTIONS])
    it(`of ${count}: a phrase by itself, and a page of found phrases`, () => {
      const routine = withSections(count);
      const alone = applyEdit(routine, aloneEdit(routine, routine.sections[0]!, pattern!));
      const edits = pageEdits(routine, routine.sections[0]!, [candidate, candidate], 1);
      const found = applyEdit(routine, { kind: "batch", edits: edits as [] });
      for (const [drafted, more] of [
        [alone, 1],
        [found, 2],
      ] as const) {
        if (!("routine" in drafted)) throw new Error(JSON.stringify(drafted));
        expect(Routine.safeParse(drafted.routine).success).toBe(true);
        expect(drafted.routine.sections).toHaveLength(Math.min(MOST_SECTIONS, count + more));
        expect(drafted.routine.sections.at(-1)?.id).toBe(ALONE_ID);
      }
    });
});
