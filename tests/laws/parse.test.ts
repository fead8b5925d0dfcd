/** What is written is read again as it was; what is broken is refused for exactly what is wrong with it. */
import { describe, expect, test } from "vitest";
import { parseRoutine } from "../../server/routine/parse.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { brokenRoutine, SPOILERS } from "../reference/broken.ts";
import { holds } from "../reference/laws.ts";
import { routines } from "../reference/random.ts";
import { referenceTimeline } from "../reference/timeline.ts";

test("a random routine without errors is read without a problem", () => {
  holds("read", 300, routines, (routine) => {
    expect(parseRoutine(JSON.stringify(routine))).toEqual({ routine, problems: [] });
  });
});

test("a routine that is written and read again is the same music, and is written as the same bytes", () => {
  holds("write and read", 200, routines, (routine) => {
    const written = writeRoutine(routine);
    const { routine: again, problems } = parseRoutine(written);
    expect(problems).toEqual([]);
    expect(writeRoutine(again!)).toBe(written);
    expect(referenceTimeline(again!)).toEqual(referenceTimeline(routine));
  });
});

describe("a random routine with one mistake has exactly that problem:", () => {
  for (const what of Object.keys(SPOILERS)) {
    test(what, () => {
      holds(what, 40, brokenRoutine([what]), ({ routine, code, place }) => {
        const { problems } = parseRoutine(JSON.stringify(routine));
        expect(problems.map((problem) => [problem.code, problem.place, problem.severity])).toEqual([
          [code, place, "error"],
        ]);
      });
    });
  }
});
