import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { climbed, climbText, type Judged, setTo, startOf } from "../../client/rehearse/climb.ts";
import { type ClimbRules, DRILL } from "../../schemas/drill.ts";
import { holds } from "../reference/laws.ts";

const rules: fc.Arbitrary<ClimbRules> = fc.record({
  start: fc.integer({ min: 25, max: 200 }),
  ceiling: fc.integer({ min: 25, max: 200 }),
  upAfter: fc.integer({ min: 1, max: 20 }),
  upBy: fc.integer({ min: 1, max: 25 }),
  downAfter: fc.integer({ min: 1, max: 20 }),
  downBy: fc.integer({ min: 1, max: 25 }),
});
const judgements = fc.array(fc.constantFrom<Judged>("good", "bad"), { maxLength: 200 });

describe("a climb in tempo", () => {
  test("obeys its rules whatever comes: never above the ceiling, up and down only when it is time", () => {
    holds("climb", 200, fc.tuple(rules, judgements), ([rule, rounds]) => {
      let climb = startOf(rule);
      let row: Judged[] = [];
      for (const judged of rounds) {
        const before = climb.tempo;
        climb = climbed(rule, climb, judged);
        row = row.at(-1) === judged || row.length === 0 ? [...row, judged] : [judged];
        const turn = row.length === (judged === "good" ? rule.upAfter : rule.downAfter);
        const way = judged === "good" ? rule.upBy : -rule.downBy;
        const wanted = turn ? Math.max(25, Math.min(rule.ceiling, before + way)) : before;
        expect(climb.tempo).toBe(wanted);
        expect(climb.tempo).toBeLessThanOrEqual(rule.ceiling);
        if (turn) row = [];
      }
    });
  });

  test("falls back by as many bad rounds as the rules say, and no further than can be played", () => {
    const rule = { ...DRILL.climb, start: 35, downAfter: 2, downBy: 5 };
    const tempos: number[] = [];
    let climb = startOf(rule);
    for (let round = 0; round < 8; round++) {
      climb = climbed(rule, climb, "bad");
      tempos.push(climb.tempo);
    }
    expect(tempos).toEqual([35, 30, 30, 25, 25, 25, 25, 25]);
  });

  test("set by hand stays below the ceiling too, and counts anew", () => {
    const rule = DRILL.climb;
    const climb = climbed(rule, startOf(rule), "good");
    expect(climb.good).toBe(1);
    expect(setTo(rule, 180)).toEqual({ tempo: 105, good: 0, bad: 0 });
  });

  test("is explained in a sentence", () => {
    expect(climbText(DRILL.climb)).toBe(
      "Starts at 60 % of the written tempo. Up by 5 % after 2 good rounds in a row, down by 5 % after 2 bad rounds in a row; never above 105 %.",
    );
    expect(climbText({ ...DRILL.climb, upAfter: 1, downAfter: 1, start: 120 })).toBe(
      "Starts at 105 % of the written tempo. Up by 5 % after each good round, down by 5 % after each bad round; never above 105 %.",
    );
  });
});
