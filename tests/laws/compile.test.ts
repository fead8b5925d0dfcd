/** The program's compiled timeline is held against the slow, obvious one in tests/reference. */
import { expect, test } from "vitest";
import { timelineJson } from "../../server/cli/timeline.ts";
import { holds } from "../reference/laws.ts";
import { routines } from "../reference/random.ts";
import { difference } from "../reference/same.ts";
import { referenceTimeline } from "../reference/timeline.ts";

const measured = new Set(["from", "to", "startSeconds", "endSeconds"]);
const isMeasured = (field: string) => measured.has(field);

test("a random routine compiles to what the design says, event by event", () => {
  holds("compile", 300, routines, (routine) => {
    expect(difference(timelineJson(routine), referenceTimeline(routine), isMeasured)).toBe(null);
  });
});
