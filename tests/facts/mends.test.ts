import { describe, expect, it } from "vitest";
import type { Mend } from "../../schemas/facts.ts";
import type { Placement, Rig, Routine, Section } from "../../schemas/routine.ts";
import { mendsOf } from "../../server/facts/mends.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { pattern } from "./notation.ts";
import { described, routine, section } from "./routines.ts";

const walk = pattern("F2'90 B2'30", "o", { id: "walk", name: "Walk" });

function made(placements: readonly Placement[], rig: Rig = {}, more: Partial<Section> = {}): Routine {
  return routine([walk, pattern("F B", "o", { id: "two", name: "Two" })], [section(placements, more)], {
    rig,
  });
}
const told = (mends: readonly Mend[]) =>
  mends.map(({ kind, words, promises, quarters }) => [kind, words, promises, quarters]);
const edited = (one: Routine, { edit }: Mend): Routine => {
  const applied = applyEdit(one, edit);
  if ("refused" in applied) throw new Error(applied.refused);
  return applied.routine;
};

describe("mends of a join beyond the limits", () => {
  // Two rounds walk 120 degrees on; the next starts at once, back at 0.
  const tight = made([
    { pattern: "walk", bar: 1, lasts: { cycles: 2 } },
    { pattern: "walk", bar: 1, at: "1/2", lasts: { cycles: 2 } },
  ]);

  it("come from small to large, each with its edit, its promise and its size", () => {
    expect(told(mendsOf(tight, { section: "quay", placement: 1 }).join)).toEqual([
      ["carry-on", "Let Walk carry on where the record is left.", "flows", 0],
      ["start-on-record", "Start Walk at 120 degrees, where the record is left.", "flows", 0],
      ["cue-button", "Reach Walk with a cue button, which takes no time.", "flows", 0],
      // A sixteenth at 120: 135 degrees in an eighth of a second is 5.4 times the platter.
      ["leave-earlier", "End Walk 1 step earlier.", "reset", 0.25],
      ["start-later", "Start Walk 1 step later.", "reset", 0.25],
      [
        "opposite-stroke",
        "End Walk 2 steps earlier and bring the record 150 degrees back in that time, the fader closed.",
        "flows",
        0.5,
      ],
    ]);
  });

  it("let the record run where a turn of the platter brings it to the right place", () => {
    const long = made([
      { pattern: "walk", bar: 1, lasts: { cycles: 13 } },
      { pattern: "walk", bar: 4, at: "1/4", lasts: { cycles: 1 } },
    ]);
    const released = mendsOf(long, { section: "quay", placement: 1 }).join.find(
      ({ kind }) => kind === "released-stroke",
    );
    expect(released).toMatchObject({ promises: "flows" });
    const join = described(edited(long, released as Mend)).joins.find(({ to }) => to.placement === 1);
    expect(join).toMatchObject({ from: { section: "quay", placement: 2 }, verdict: "flows" });
  });

  it("are edits that give the verdict when applied", () => {
    for (const mend of mendsOf(tight, { section: "quay", placement: 1 }).join) {
      const join = described(edited(tight, mend)).joins.find(({ to }) => to.placement === 1);
      expect([mend.kind, join?.verdict]).toEqual([mend.kind, mend.promises]);
    }
  });

  it("offers the same sample on either side, a cue button and time where the sample changes", () => {
    const one = made(
      [
        { pattern: "walk", bar: 1 },
        { pattern: "walk", bar: 5, sample: "b" },
      ],
      {
        samples: [
          { id: "a", builtIn: "vowel" },
          { id: "b", builtIn: "stab" },
        ],
      },
    );
    const { join } = mendsOf(one, { section: "quay", placement: 1 });
    expect(join.map(({ kind }) => kind)).toEqual([
      "same-sample",
      "same-sample-before",
      "cue-button",
      "leave-earlier",
      "start-later",
    ]);
    // Sixteen sixteenths at 120 are two seconds.
    expect(join[3]).toMatchObject({ words: "End Walk 16 steps earlier.", quarters: 4, promises: "reset" });
  });

  it("are none where the join is within the limits, or there is none", () => {
    expect(mendsOf(tight, { section: "quay", placement: 0 })).toEqual({ join: [], why: null, landing: [] });
    const easy = made([
      { pattern: "walk", bar: 1, lasts: { cycles: 2 } },
      { pattern: "walk", bar: 3, lasts: { cycles: 2 } },
    ]);
    expect(mendsOf(easy, { section: "quay", placement: 1 }).join).toEqual([]);
    expect(mendsOf(easy, { section: "elsewhere", placement: 0 })).toEqual({
      join: [],
      why: null,
      landing: [],
    });
  });
});

describe("mends of a landing", () => {
  it("cut what is over, play on, start later or earlier, or fill with the user's own patterns", () => {
    const one = made([{ pattern: "walk", bar: 2, lasts: { steps: 10 } }]);
    const { landing } = mendsOf(one, { section: "quay", placement: 0 });
    expect(told(landing)).toEqual([
      ["cut-last-repeat", "End Walk 2 steps earlier, after 2 repeats.", "lands", 0.5],
      ["lengthen", "Play Walk 2 steps longer.", "lands", 0.5],
      ["start-later", "Start Walk 2 steps later.", "lands", 0.5],
      ["start-earlier", "Start Walk 2 steps earlier.", "lands", 0.5],
      ["add-groups", "Fill the last 2 steps with Two.", "lands", 0.5],
    ]);
    const filled = edited(one, landing[4] as Mend);
    expect(filled.sections[0]?.placements).toEqual([
      { pattern: "walk", bar: 2, lasts: { cycles: 2 } },
      { pattern: "two", bar: 2, at: "1/2", lasts: { cycles: 1 }, carriesOn: true },
    ]);
    expect(described(filled).placements.map(({ landing: { steps } }) => steps)).toEqual(["0", "0"]);
  });

  it("leaves out what has no room", () => {
    const full = made([{ pattern: "walk", bar: 1, lasts: { steps: 10 } }], {}, { bars: 1, meter: "5/8" });
    expect(mendsOf(full, { section: "quay", placement: 0 }).landing.map(({ kind }) => kind)).toEqual([
      "cut-last-repeat",
      "start-later",
      "start-earlier",
      "add-groups",
    ]);
  });
});
