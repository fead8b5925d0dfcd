import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { FaderState, Move, Pattern } from "../../schemas/routine.ts";
import { difficulty, difficultyOf } from "../../server/facts/difficulty.ts";
import { neighboursOf } from "../../server/facts/neighbours.ts";
import { keysOf } from "../../server/facts/sameness.ts";
import { patternProblems } from "../../server/routine/checkPattern.ts";
import { type Meter, parseMeter } from "../../server/time/meter.ts";
import { holds } from "../reference/laws.ts";
import { patternOf } from "./reference.ts";

const fourFour = parseMeter("4/4") as Meter;

describe("the neighbours of a phrase", () => {
  it("are all that differ by one change, with what it does, the easiest first", () => {
    const { here, neighbours } = neighboursOf(
      patternOf(["forward", "back"], ["click", "open", "open"]),
      fourFour,
    );
    // One move and a third of an opening a step, two runs in each hand, two rounds of 3 in 6, and no opening that strikes
    // into a stroke: 1 + 1/3 + 2 + 1.
    expect(here).toEqual({ combinedSteps: "6", comeRoundBars: 3, comeRoundRepeats: 8, difficulty: 4.333 });
    const said = new Map(neighbours.map((one) => [one.says, one]));
    expect(said.get("stroke 1 becomes hold")).toMatchObject({
      change: { what: "stroke", index: 0, to: "hold" },
      combinedSteps: "6",
    });
    expect(said.get("cell 1 becomes open")).toMatchObject({ combinedSteps: "6", comeRoundBars: 3 });
    expect(said.get("without cell 2")).toMatchObject({
      change: { what: "shorter", hand: "fader", index: 1 },
      combinedSteps: "2",
      comeRoundBars: 1,
      comeRoundRepeats: 8,
    });
    expect(said.get("cell 1 one step longer")).toMatchObject({ combinedSteps: "4", comeRoundRepeats: 4 });
    // It is open either way: to lengthen the click or what follows it is the same phrase.
    expect(said.has("cell 2 one step longer")).toBe(false);
    expect(said.get("stroke 2 one step longer")?.pattern.record.strokes).toEqual([
      { move: "forward" },
      { move: "back", length: 2 },
    ]);
    // Shifted by any number of cells it is the same phrase shifted in time, as 2 and 3 share no factor.
    expect(neighbours.filter(({ change }) => change.what === "shifted")).toEqual([]);
    const hardness = neighbours.map((one) => one.difficulty as number);
    expect(hardness).toEqual([...hardness].sort((a, b) => a - b));
  });

  it("shift the hands where that gives another phrase", () => {
    const { neighbours } = neighboursOf(
      patternOf(["forward", "back", "hold"], ["click", "open", "closed"]),
      fourFour,
    );
    expect(
      neighbours.flatMap(({ change }) => (change.what === "shifted" ? [change.index] : [])).sort(),
    ).toEqual([1, 2]);
  });

  it("drop what the changed stroke or cell cannot have, and what the file would not allow", () => {
    const pattern: Pattern = {
      id: "phrase",
      record: {
        step: "1/8",
        strokes: [
          { move: "forward", travel: 90, times: 4, length: "3/2" },
          { move: "forward", shape: "released" },
        ],
      },
      fader: {
        step: "1/16",
        cells: [
          { fader: "click", times: 3, closedFor: "1/8" },
          { fader: "pulse", length: 2, openFor: "3/2" },
        ],
      },
    };
    const { neighbours } = neighboursOf(pattern, fourFour);
    const by = (says: string) => neighbours.find((one) => one.says === says)?.pattern;
    expect(by("stroke 1 becomes hold")?.record.strokes[0]).toEqual({ move: "hold", length: "3/2" });
    expect(by("stroke 1 one step shorter")?.record.strokes[0]).toMatchObject({ length: "1/2", times: 4 });
    expect(by("stroke 2 becomes back")?.record.strokes[1]).toEqual({ move: "back" });
    expect(by("cell 1 becomes pulse")?.fader.cells[0]).toEqual({ fader: "pulse", times: 3 });
    expect(by("cell 1 becomes open")?.fader.cells[0]).toEqual({ fader: "open" });
    // Open for three halves of a step: in one step there is no room for it.
    expect(by("cell 2 one step shorter")).toBeUndefined();
    expect(neighbours.flatMap((one) => patternProblems(one.pattern))).toEqual([]);
  });

  it("have the phrase among their own neighbours where a stroke or cell was changed, and none twice", () => {
    const phrases = fc.tuple(
      fc.array(fc.constantFrom<Move>("forward", "back", "hold"), { minLength: 1, maxLength: 4 }),
      fc.array(fc.constantFrom<FaderState>("open", "closed", "click", "pulse"), {
        minLength: 1,
        maxLength: 4,
      }),
    );
    holds("neighbours", 15, phrases, ([record, fader]) => {
      const here = patternOf(record, fader);
      const { neighbours } = neighboursOf(here, fourFour);
      const keys = neighbours.map(({ pattern }) => keysOf(pattern).same);
      expect(new Set(keys).size).toBe(keys.length);
      expect(keys).not.toContain(keysOf(here).same);
      // A stroke or cell that was removed is not there to be changed back.
      const back = neighbours.filter(({ change }) => change.what === "stroke" || change.what === "cell");
      for (const { pattern } of back) {
        const theirs = neighboursOf(pattern, fourFour).neighbours.map((one) => keysOf(one.pattern).same);
        expect(theirs).toContain(keysOf(here).same);
      }
    });
  });
});

describe("difficulty", () => {
  it("adds what the hands do, what is to be kept in mind, how far apart the groups are, and what crosses", () => {
    expect(difficulty({ hands: 1.5, memory: 2, rounds: 4, crossing: 1, sounds: 4 })).toBe(5.75);
    expect(difficulty({ hands: 1, memory: 1, rounds: 1, crossing: 0, sounds: 0 })).toBe(0);
  });

  it("is the same however often a cycle is written out, and wherever it starts", () => {
    const once = difficultyOf(patternOf(["forward", "forward", "back"], ["click", "open"]));
    expect(difficultyOf(patternOf(["back", "forward", "forward"], ["open", "click", "open", "click"]))).toBe(
      once,
    );
    // 1 move and half an opening a step; 2 runs each; a round of 3 twice; of 6 sounds 3 are cut, 1 of them a turn to
    // the back, 1 a turn to the front, 1 into the forward stroke that goes on.
    expect(once).toBe(Math.round((1.5 + 2 + 1 + 1 / 6) * 1000) / 1000);
  });

  it("grows with the tempo of the step, since hands do more in the same time", () => {
    const slow = difficultyOf(patternOf(["forward", "back"], ["click"], "1/16")) as number;
    const fast = difficultyOf(patternOf(["forward", "back"], ["click"], "1/32")) as number;
    expect(fast - slow).toBe(2);
  });
});
