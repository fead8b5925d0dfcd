/** Laws of edits, patches and packed performances on random routines. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { Edit } from "../../schemas/edit.ts";
import type { Edit as AnEdit } from "../../schemas/edit.ts";
import { packSection, PackedSection, unpackSection } from "../../schemas/packed.ts";
import { applyPatch, applySplice, Patch, patchBetween, spliceBetween } from "../../schemas/patch.ts";
import { checkRoutine } from "../../server/routine/check.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { holds } from "../reference/laws.ts";
import { type Draw, drawRoutine, routines } from "../reference/random.ts";
import { drawEdit } from "../reference/randomEdit.ts";

const overTheWire = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;

const edited = fc.gen().map((gen) => {
  const draw: Draw = (arbitrary) => gen(() => arbitrary);
  const before = drawRoutine(draw);
  const edit = drawEdit(draw, before);
  return { before, edit: Edit.parse(overTheWire(edit)) as AnEdit };
});

test("the patch from before to after an edit makes after of before, and the one back makes before of after", () => {
  let applied = 0;
  holds("patches", 300, edited, ({ before, edit }) => {
    const result = applyEdit(before, edit);
    if ("refused" in result) return;
    applied++;
    const after = result.routine;
    const patch = (from: typeof before, to: typeof before) =>
      Patch.parse(overTheWire(patchBetween(from, to))) as ReturnType<typeof patchBetween>;
    expect(applyPatch(before, patch(before, after))).toEqual(after);
    const back = applyPatch(after, patchBetween(after, before));
    expect(back).toEqual(before);
    // By its values themselves, what an edit did not touch is the very same after undoing.
    for (const [index, section] of before.sections.entries()) expect(back.sections[index]).toBe(section);
  });
  expect(applied).toBeGreaterThan(150);
});

test("of a list in another order only the order is said, and what is new in it", () => {
  const [first, second, ...rest] = DEMO.sections;
  const moved = { ...DEMO, sections: [second!, { ...first!, bars: 9 }, ...rest] };
  expect(patchBetween(DEMO, moved)).toEqual({
    sections: { values: [moved.sections[1]], order: moved.sections.map(({ id }) => id) },
  });
});

test("an edit leaves every section and pattern alone that it does not name", () => {
  holds("sharing", 200, edited, ({ before, edit }) => {
    const result = applyEdit(before, edit);
    // Whatever refers to what has another id now follows it.
    if ("refused" in result || edit.kind === "change-id") return;
    const named = JSON.stringify(edit);
    for (const list of ["sections", "patterns", "beats"] as const) {
      for (const item of before[list]) {
        const now = result.routine[list].find(({ id }) => id === item.id);
        if (now !== undefined && now !== item) expect(named).toContain(`"${item.id}"`);
      }
    }
  });
});

test("a performance that was packed and sent is the same performance", () => {
  holds("packing", 100, routines, (routine) => {
    for (const { performance } of compile(routine).sections) {
      expect(unpackSection(PackedSection.parse(overTheWire(packSection(performance))))).toEqual(performance);
    }
  });
});

test("a splice makes one list of another, and names only what lies between what is alike", () => {
  const letters = fc.array(fc.constantFrom("a", "b", "c"), { maxLength: 8 });
  holds("splices", 500, fc.tuple(letters, letters), ([from, to]) => {
    const splice = spliceBetween(from, to, Object.is);
    expect(applySplice(from, splice)).toEqual(to);
    if (splice.remove > 0 && splice.values.length > 0) expect(from[splice.at]).not.toBe(splice.values[0]);
  });
  const [before, after] = [
    ["a", "b", "c"],
    ["a", "x", "y", "c"],
  ];
  expect(spliceBetween(before!, after!, Object.is)).toEqual({ at: 1, remove: 1, values: ["x", "y"] });
});

test("what is remembered of errors while a routine is edited is what is found in it anew", () => {
  const histories = fc.gen().map((gen) => {
    const draw: Draw = (arbitrary) => gen(() => arbitrary);
    const states = [drawRoutine(draw)];
    for (let turn = 0; turn < 4; turn++) {
      const last = states.at(-1)!;
      const result = applyEdit(last, drawEdit(draw, last));
      if (!("refused" in result)) states.push(result.routine);
    }
    return states;
  });
  let wrong = 0;
  holds("errors", 200, histories, (states) => {
    for (const state of states) {
      const found = checkRoutine(state);
      // A copy is other objects: nothing is remembered of them.
      expect(found).toEqual(checkRoutine(structuredClone(state)));
      if (found.length > 0) wrong++;
    }
  });
  expect(wrong).toBeGreaterThan(100);
});

test("a beat that cannot go on is found where only the section before it changed", () => {
  const index = DEMO.sections.findIndex(
    ({ beat }, at) => beat !== undefined && beat === DEMO.sections[at - 1]?.beat,
  );
  const sections = DEMO.sections.with(index, { ...DEMO.sections[index]!, beatContinues: true });
  const goesOn = { ...DEMO, sections };
  expect(checkRoutine(goesOn)).toEqual([]);
  const stopped = {
    ...goesOn,
    sections: sections.with(index - 1, { ...sections[index - 1]!, beat: undefined }),
  };
  const found = checkRoutine(stopped).map(({ code, place }) => [code, place]);
  expect(found).toEqual([["nothing-to-carry-on", `/sections/${index}/beatContinues`]]);
});
