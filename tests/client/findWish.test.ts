import { describe, expect, it } from "vitest";
import { ofFound, pageEdits } from "../../client/find/candidates.ts";
import { FIND, findPlace, neighboursOf } from "../../client/find/findPlace.ts";
import {
  countingOf,
  FIRST_WISH,
  filterOf,
  patternOf,
  questionOf,
  troubleOf,
} from "../../client/find/wish.ts";
import { Edit } from "../../schemas/edit.ts";
import { FindQuestion, type Found } from "../../schemas/find.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { applyEdit } from "../../server/routine/edit.ts";

const found: Found = {
  record: ["forward", "forward", "back"],
  fader: ["click", "open"],
  phase: 0,
  combinedSteps: "6",
  comeRoundBars: 3,
  comeRoundRepeats: 8,
  sounds: 6,
  onsets: { cut: 3, turn: 2, restart: 1, "from-rest": 0 },
  mirrored: false,
  driftDegrees: 45,
  closesWith: { move: "back", travel: 90 },
  names: [],
  difficulty: 4,
  rankedAt: 0.51234,
};

describe("what is wished for", () => {
  it("becomes a question that the server's schema takes, with no filter where nothing is asked", () => {
    const question = questionOf(FIRST_WISH, DEMO, "4/4");
    expect(FindQuestion.parse(question)).toEqual(question);
    expect(question.filter).toEqual({});
    expect(countingOf(question)).toEqual({ space: question.space, top: 0, meter: "4/4", step: "1/16" });
  });

  it("keeps every filter", () => {
    const wish = {
      ...FIRST_WISH,
      combined: { from: 6 },
      sounds: { to: 9 },
      withinBars: 3,
      playableAt: 93,
      mirrored: "no",
      drift: "closable",
      scratches: { baby: "must", tear: "must not" },
      onsets: { ...FIRST_WISH.onsets, cut: { from: 50, to: 80 }, turn: { to: 0 } },
      by: "distance",
    } as const;
    expect(filterOf(wish)).toEqual({
      combinedSteps: { from: 6, to: 384 },
      sounds: { from: 0, to: 9 },
      withinBars: 3,
      playableAt: 93,
      mirrored: false,
      drift: "closable",
      contains: ["baby"],
      avoids: ["tear"],
      onsets: { cut: { from: 0.5, to: 0.8 }, turn: { from: 0, to: 0 } },
    });
    const question = questionOf(wish, DEMO, "7/8");
    expect(FindQuestion.safeParse(question).success).toBe(true);
    expect(question.library).toBe(DEMO.patterns);
  });

  it("that makes no sense is told in a sentence", () => {
    expect(troubleOf(FIRST_WISH)).toBeNull();
    expect(troubleOf({ ...FIRST_WISH, cells: [] })).toBe(
      "Choose at least one kind of cell for the fader hand.",
    );
    expect(troubleOf({ ...FIRST_WISH, record: { from: 4, to: 2 } })).toBe(
      "The record cycle runs backwards: 4 is above 2. Exchange the two.",
    );
  });

  it("stands in the address without meeting any phrase", () => {
    expect(findPlace(FIND)).toEqual({ from: null });
    expect(findPlace(neighboursOf("wake"))).toEqual({ from: "wake" });
    expect(findPlace("wake")).toBeNull();
  });
});

describe("a candidate", () => {
  it("is the combination as a phrase, its drift closed where that is wished", () => {
    expect(patternOf(found, "1/16", false).record.strokes).toEqual([
      { move: "forward" },
      { move: "forward" },
      { move: "back" },
    ]);
    expect(patternOf(found, "1/24", true).record).toEqual({
      step: "1/24",
      strokes: [{ move: "forward" }, { move: "forward" }, { move: "back", travel: 90 }],
    });
    expect(ofFound(found, { ...FIRST_WISH, by: "evenness" }).ranked).toBe("evenness 0.512");
  });

  it("is drafted with its page, in ids that no phrase has", () => {
    const one = ofFound(found, FIRST_WISH);
    const routine = { ...DEMO, patterns: [{ ...DEMO.patterns[0]!, id: "found-1" }, ...DEMO.patterns] };
    const edits = pageEdits(routine, routine.sections[1]!, [one, one], 1);
    const applied = applyEdit(routine, Edit.parse({ kind: "batch", edits }));
    if ("refused" in applied) throw new Error(applied.refused);
    const [finds, alone] = applied.routine.sections.slice(-2);
    expect(finds).toMatchObject({
      bars: 2,
      placements: [
        { pattern: "found-2", bar: 1, lasts: { bars: 1 } },
        { pattern: "found-3", bar: 2, lasts: { bars: 1 } },
      ],
    });
    expect(alone).toMatchObject({ bars: 3, placements: [{ pattern: "found-3", bar: 1 }] });
  });
});
