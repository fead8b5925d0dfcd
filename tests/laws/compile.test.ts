/** The program's compiled timeline is held against the slow, obvious one in tests/reference. */
import { expect, test } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { timelineText } from "../../server/cli/timeline.ts";
import { holds } from "../reference/laws.ts";
import { routines } from "../reference/random.ts";
import { difference } from "../reference/same.ts";
import { referenceTimeline } from "../reference/timeline.ts";

const measured = new Set(["from", "to", "startSeconds", "endSeconds"]);
const printed = (routine: Routine) => JSON.parse([...timelineText(routine)].join(""));
const isMeasured = (field: string) => measured.has(field);

test("a random routine compiles to what the design says, event by event", () => {
  holds("compile", 300, routines, (routine) => {
    expect(difference(printed(routine), referenceTimeline(routine), isMeasured)).toBe(null);
  });
});
