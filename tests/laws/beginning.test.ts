/** A long routine is told from its beginning: what follows makes it what all of it is. */
import { expect, test } from "vitest";
import { beginningOf, lackingAfter, partOf, wholeOf } from "../../server/live/computed.ts";
import { createWorker, isWorked } from "../../server/live/worked.ts";
import { checkRoutine } from "../../server/routine/check.ts";
import { holds } from "../reference/laws.ts";
import { routines } from "../reference/random.ts";

test("the first sections, worked out alone, and what then is lacking are the whole", () => {
  let beginnings = 0;
  holds("beginnings", 24, routines, (routine) => {
    if (checkRoutine(routine).length > 0) return;
    const afresh = createWorker()(structuredClone(routine));
    if (!isWorked(afresh)) throw new Error("a routine without errors was not worked out");
    for (let count = 1; count < routine.sections.length; count++) {
      const work = createWorker();
      const begun = work({ ...routine, sections: routine.sections.slice(0, count) }, []);
      const worked = work(routine, []);
      if (!isWorked(begun) || !isWorked(worked))
        throw new Error("a routine without errors was not worked out");
      const first = Math.max(1, count - 1);
      const told = beginningOf(routine, begun, first);
      const lacking = lackingAfter(begun, first, worked);
      const rest = partOf(worked, lacking);
      const whole = wholeOf(afresh);
      expect(told.timing).toEqual(whole.timing);
      for (const key of ["sections", "sectionFacts"] as const) {
        const known = new Map<string, unknown>([...told[key], ...rest[key]].map((one) => [one.id, one]));
        expect(routine.sections.map(({ id }) => known.get(id))).toEqual(whole[key]);
      }
      beginnings++;
    }
  });
  expect(beginnings).toBeGreaterThan(8);
});
