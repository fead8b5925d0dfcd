/** What an edit does not reach stays the object that it was, so that it is neither worked out, told nor drawn again. */
import { describe, expect, it } from "vitest";
import type { Edit } from "../../schemas/edit.ts";
import type { SectionFacts } from "../../schemas/facts.ts";
import { applyFacts, factsBetween } from "../../schemas/factsPatch.ts";
import type { Routine } from "../../schemas/routine.ts";
import { createWorker, isWorked, type Worked } from "../../server/live/worked.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { pattern } from "./notation.ts";
import { routine, section } from "./routines.ts";

const walk = pattern("F2'90 B2'90", "o x", { id: "walk", name: "Walk" });
const drop = pattern("R4 B4'90", "o", { id: "drop", name: "Drop" });
const quick = pattern("F B", "c", { id: "quick", recordStep: "1/32", faderStep: "1/64" });
const ferry = routine(
  [walk, drop, quick],
  [
    section([
      { pattern: "walk", bar: 1, lasts: { cycles: 4 } },
      { pattern: "quick", bar: 3, lasts: { bars: 1 } },
    ]),
    section([{ pattern: "drop", bar: 1, lasts: { cycles: 2 } }], { id: "deck" }),
  ],
);

/** The routine worked out, and worked out again after an edit. */
function edited(edit: Edit, first = ferry): { readonly old: Worked; readonly now: Worked } {
  const work = createWorker();
  const worked = (one: Routine): Worked => {
    const result = work(one);
    if (!isWorked(result)) throw new Error("not worked out");
    return result;
  };
  const old = worked(first);
  const applied = applyEdit(first, edit);
  if ("refused" in applied) throw new Error(applied.refused);
  return { old, now: worked(applied.routine) };
}

const performanceOf = ({ performance }: Worked, index: number) => performance.sections[index]?.performance;
const placedIn = ({ facts }: Worked, index: number, at: number) => facts.sections[index]?.placements[at];
const changeSection = (id: string, set: object): Edit => ({ kind: "change-section", id, set }) as Edit;

describe("a change of tempo", () => {
  it("leaves the events of the hands as they are, and the facts that no tempo reaches", () => {
    const { old, now } = edited(changeSection("quay", { tempo: 60 }));
    expect(performanceOf(now, 0)).toBe(performanceOf(old, 0));
    expect(placedIn(now, 0, 0)?.repeatStarts).toBe(placedIn(old, 0, 0)?.repeatStarts);
    const speed = (worked: Worked) => placedIn(worked, 0, 0)?.hands.find(({ limit }) => limit === "speed");
    expect(speed(now)?.value).toBeCloseTo((speed(old)?.value ?? 0) / 2, 12);
    expect(placedIn(now, 1, 0)).toBe(placedIn(old, 1, 0));
  });

  it("turns a released record further", () => {
    const { old, now } = edited(changeSection("deck", { tempo: 60 }));
    const turned = (worked: Worked) => performanceOf(worked, 1)?.strokes[0]?.to ?? 0;
    expect(turned(now)).toBeCloseTo(2 * turned(old), 9);
  });
});

describe("a change of the pitch slider", () => {
  it("reaches what is measured against the platter, and a released record", () => {
    const { old, now } = edited(changeSection("quay", { pitch: 8 }));
    expect(performanceOf(now, 0)).toBe(performanceOf(old, 0));
    const hand = (worked: Worked, limit: string) =>
      placedIn(worked, 0, 0)?.hands.find((figure) => figure.limit === limit)?.value ?? 0;
    expect(hand(now, "speed")).toBeCloseTo(hand(old, "speed") / 1.08, 12);
    expect(hand(now, "strokes")).toBe(hand(old, "strokes"));

    const released = edited(changeSection("deck", { pitch: 8 }));
    const turned = (worked: Worked) => performanceOf(worked, 1)?.strokes[0]?.to ?? 0;
    expect(turned(released.now)).toBeCloseTo(1.08 * turned(released.old), 9);
  });
});

describe("another name", () => {
  it("of a phrase changes no event", () => {
    const { old, now } = edited({ kind: "change-pattern", id: "quick", set: { name: "Patter" } } as Edit);
    expect(performanceOf(now, 0)).toBe(performanceOf(old, 0));
  });

  it("of a section stands in its warnings, also where nothing leads into it", () => {
    const alone = routine([quick], [section([{ pattern: "quick", bar: 3, lasts: { bars: 1 } }])]);
    const { old, now } = edited(changeSection("quay", { name: "The Quay" }), alone);
    expect(now.facts.sections[0]).toBe(old.facts.sections[0]);
    const said = (worked: Worked) => worked.problems.map(({ message }) => message.split(",")[0]);
    expect([said(old), said(now)]).toEqual([["quay"], ["The Quay"]]);
  });
});

describe("facts on their way to a page", () => {
  const factsOf = (worked: Worked): SectionFacts => worked.facts.sections[0] as SectionFacts;

  it("are only the fields that are another value, and make the same there", () => {
    const { old, now } = edited(changeSection("quay", { pitch: 8 }));
    const patch = JSON.parse(JSON.stringify(factsBetween(factsOf(old), factsOf(now))));
    expect(patch.placements.map((fields: object) => Object.keys(fields))).toEqual([["hands"], ["hands"]]);
    expect(applyFacts(factsOf(old), patch)).toEqual(factsOf(now));
  });

  it("come whole where nothing was told before, and are nothing where the page lacks what they follow from", () => {
    const { old, now } = edited(changeSection("quay", { pitch: 8 }));
    expect(applyFacts(undefined, factsBetween(undefined, factsOf(now)))).toEqual(factsOf(now));
    expect(applyFacts(undefined, factsBetween(factsOf(old), factsOf(now)))).toBe(null);
  });
});
