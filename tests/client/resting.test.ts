/** Edits of one user that wait for the server, done by the server's own code one after the other. */
import { describe, expect, it } from "vitest";
import { ahead, resting, standing, takenIds } from "../../client/state/resting.ts";
import type { Edit, PlacementAddress } from "../../schemas/edit.ts";
import type { Placement, Routine } from "../../schemas/routine.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { applyEdit } from "../../server/routine/edit.ts";

const done = (routine: Routine, edit: Edit): Routine => {
  const result = applyEdit(routine, edit);
  if ("refused" in result) throw new Error(result.refused);
  return result.routine;
};
/** Each is made on the routine as it was before all of them, as a page without a connection makes it. */
function inARow(...edits: readonly Edit[]): Routine {
  const sent: Edit[] = [];
  for (const edit of edits) sent.push(resting(edit, sent));
  return sent.reduce(done, DEMO);
}

const SECTION = "cast-off";
const placements = (routine: Routine) => routine.sections.find(({ id }) => id === SECTION)!.placements;
const at = (index: number): PlacementAddress => ({
  section: SECTION,
  index,
  expected: placements(DEMO)[index]!,
});
const change = (index: number, set: Partial<Placement>): Edit => ({
  kind: "change-placements",
  changes: [{ placement: at(index), to: { ...placements(DEMO)[index]!, ...set } as Placement }],
});

describe("edits of placements that wait", () => {
  it("rest on each other: a second change of one keeps what the first one changed", () => {
    const after = inARow(
      change(0, { lasts: { bars: 1 } }),
      change(0, { bar: 2 }),
      change(0, { bar: 3, at: "1/8" } as Partial<Placement>),
    );
    expect(placements(after)[0]).toEqual({
      ...placements(DEMO)[0],
      lasts: { bars: 1 },
      bar: 3,
      at: "1/8",
    });
  });

  it("find a placement where others before it went, and one that was changed before it is removed", () => {
    const after = inARow({ kind: "remove-placements", placements: [at(0)] }, change(2, { bar: 6 }), {
      kind: "batch",
      edits: [{ kind: "remove-placements", placements: [at(2)] }],
    });
    expect(placements(after)).toEqual([placements(DEMO)[1], ...placements(DEMO).slice(3)]);
    const moved = inARow(
      { kind: "change-placements", changes: [{ placement: at(0), to: at(0).expected, into: "swell" }] },
      change(1, { bar: 2 }),
    );
    expect(placements(moved)[0]).toEqual({ ...placements(DEMO)[1], bar: 2 });
  });

  it("are left as they are where nothing waits, or what waits is elsewhere", () => {
    const edit = change(1, { bar: 2 });
    expect(resting(edit, [])).toBe(edit);
    expect(resting(edit, [change(0, { bar: 2 }), { kind: "title", title: "Other" }])).toEqual(edit);
    // The other is looked for in vain, as it should be: the server says so.
    const gone = resting(change(0, { bar: 2 }), [{ kind: "remove-placements", placements: [at(0)] }]);
    expect(applyEdit(done(DEMO, { kind: "remove-placements", placements: [at(0)] }), gone)).toHaveProperty(
      "refused",
    );
    // Gone to another section as what now stands in its place here: that one is not meant.
    const away: Edit = {
      kind: "change-placements",
      changes: [{ placement: at(0), to: at(1).expected, into: "swell" }],
    };
    expect(applyEdit(done(DEMO, away), resting(change(0, { bar: 2 }), [away]))).toHaveProperty("refused");
  });
});

it("stands on what was not taken back meanwhile", () => {
  const [one, other] = [change(0, { bar: 2 }), change(1, { bar: 3 })];
  const edit = (what: Edit) => ({ kind: "edit", edit: what }) as const;
  expect(standing([edit(one), edit(other), { kind: "undo" }])).toEqual([one]);
  expect(standing([{ kind: "undo" }, edit(other)])).toEqual([other]);
  expect(standing([edit(one), { kind: "undo" }, { kind: "redo" }, edit(other)])).toEqual([one, other]);
  expect(standing([edit(one), { kind: "undo" }, edit(other), { kind: "redo" }])).toEqual([other]);
  expect(standing([edit(one), { kind: "undo" }, { kind: "undo" }, { kind: "redo" }])).toEqual([]);
  expect(standing([edit(one), { kind: "restore", to: 3 }, edit(other)])).toEqual([other]);
});

it("is the routine as it will be, for fields that are written whole", () => {
  const edits: readonly Edit[] = [
    { kind: "change-rig", set: { limits: { clicks: 7 }, reversedFader: true } },
    { kind: "change-rig", set: { limits: { clicks: 7, openMs: 30 }, reversedFader: null } },
    {
      kind: "batch",
      edits: [
        { kind: "change-section", id: SECTION, set: { swing: { of: "1/16", beat: 60 }, beat: null } },
        { kind: "change-beat", id: DEMO.beats[0]!.id, set: { steps: 32 } },
      ],
    },
    { kind: "change-pattern", id: DEMO.patterns[0]!.id, set: { name: null } },
    { kind: "set-mappings", mappings: [{ id: "own", name: "Own", ppq: 480 }] },
    { kind: "add-pattern", pattern: { ...DEMO.patterns[0]!, id: "phrase-9" } },
    { kind: "add-beat", beat: { ...DEMO.beats[0]!, id: "beat-9" }, before: DEMO.beats[0]!.id },
    { kind: "add-section", section: { ...DEMO.sections[0]!, id: "section-9" }, before: SECTION },
  ];
  expect(ahead(DEMO, edits)).toEqual(edits.reduce(done, DEMO));
  expect(ahead(ahead(DEMO, edits), [{ kind: "set-mappings", mappings: null }])).not.toHaveProperty(
    "mappings",
  );
});

it("takes no id that something which waits has taken", () => {
  const edits: readonly Edit[] = [
    {
      kind: "batch",
      edits: [{ kind: "add-pattern", pattern: { ...DEMO.patterns[0]!, id: "phrase-9" } }],
    },
    { kind: "change-id", of: "pattern", id: "wake", to: "wash" },
    { kind: "remove-pattern", id: "home", withPlacements: true },
    { kind: "change-rig", set: { samples: [{ id: "tone", builtIn: "tone" }] } },
  ];
  const ids = DEMO.patterns.map(({ id }) => id);
  expect(ids).toEqual(expect.arrayContaining(["wake", "home"]));
  expect(takenIds(DEMO, edits, "pattern")).toEqual(new Set([...ids, "phrase-9", "wash"]));
  expect(takenIds(DEMO, edits, "sample")).toEqual(new Set(["tone"]));
  expect(takenIds(DEMO, edits, "beat")).toEqual(new Set(DEMO.beats.map(({ id }) => id)));
});
