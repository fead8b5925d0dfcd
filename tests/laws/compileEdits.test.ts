/** What is remembered from edit to edit is what a fresh start would work out. */
import fc from "fast-check";
import { expect, test } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { timelineText } from "../../server/cli/timeline.ts";
import { createWorker, isWorked } from "../../server/live/worked.ts";
import { applyEdit, bringsFault } from "../../server/routine/edit.ts";
import { holds } from "../reference/laws.ts";
import { type Draw, drawRoutine, oneIn, oneOf } from "../reference/random.ts";
import { drawEdit } from "../reference/randomEdit.ts";
import { difference } from "../reference/same.ts";
import { referenceTimeline } from "../reference/timeline.ts";

/** A routine and what became of it, edit by edit; now and then an earlier moment comes back, as by undo. */
const histories = fc.gen().map((gen) => {
  const draw: Draw = (arbitrary) => gen(() => arbitrary);
  const moments: Routine[] = [drawRoutine(draw)];
  for (let n = 0; n < 8; n++) {
    const now = moments.at(-1)!;
    if (oneIn(draw, 6)) moments.push(oneOf(draw, ...moments));
    // As it comes over the wire: nothing is shared with what stands there.
    const edit = JSON.parse(JSON.stringify(drawEdit(draw, now)));
    const result = applyEdit(now, edit);
    if ("routine" in result) moments.push(result.routine);
  }
  return moments;
});

const printed = (routine: Routine) => JSON.parse([...timelineText(routine)].join(""));
const measured = new Set(["from", "to", "startSeconds", "endSeconds"]);

test("a routine worked out edit by edit is the same as one worked out afresh", () => {
  const counts = { same: 0, faulty: 0, unworkable: 0, refused: 0 };
  holds("edits", 40, histories, (moments) => {
    const remembers = createWorker();
    let standing: Routine | undefined;
    for (const routine of moments) {
      const afresh = createWorker()(structuredClone(routine) as Routine);
      if (standing !== undefined) {
        const before = createWorker()(structuredClone(standing) as Routine);
        const had = isWorked(before) ? before.problems : before.errors;
        if (bringsFault(had, isWorked(afresh) ? afresh.problems : afresh.errors)) {
          counts.refused++;
          continue;
        }
      }
      standing = routine;
      const remembered = remembers(routine);
      if (!isWorked(remembered) || !isWorked(afresh)) {
        counts.unworkable++;
        expect(difference(remembered, afresh, () => false)).toBe(null);
        continue;
      }
      expect(difference(remembered, afresh, () => false)).toBe(null);
      if (afresh.errors.length > 0) counts.faulty++;
      else {
        counts.same++;
        expect(difference(printed(routine), referenceTimeline(routine), (field) => measured.has(field))).toBe(
          null,
        );
      }
    }
  });
  console.log("edits:", counts);
  expect(counts.same).toBeGreaterThan(0);
});
