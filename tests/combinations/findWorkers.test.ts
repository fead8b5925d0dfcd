/** Threads are started from the built output, as they are when the program runs. */
import { describe, expect, it } from "vitest";
import type { FindAnswer, FindQuestion } from "../../schemas/find.ts";
import { nothingSeen, search } from "../../server/facts/find.ts";
import { planOf } from "../../server/facts/findPlan.ts";
import { blocksOf } from "../../server/facts/findSpace.ts";
import type * as Pool from "../../server/facts/findWorkers.ts";

const BUILT = new URL("../../dist/server/facts/findWorkers.js", import.meta.url).href;
const { startSearch } = (await import(BUILT)) as typeof Pool;

function started(question: FindQuestion, workers: number): Pool.Search {
  const search = startSearch(question, workers);
  if ("refused" in search) throw new Error(search.refused);
  return search;
}

/** The same on this thread alone. */
function alone(question: FindQuestion): FindAnswer {
  const plan = planOf(question);
  if ("refused" in plan) throw new Error(plan.refused);
  const seen = nothingSeen(plan);
  for (const block of blocksOf(question.space)) search(plan, block, seen, () => true);
  return {
    count: String(seen.matching),
    combinations: seen.top.list().map(({ item }) => item),
    complete: true,
  };
}

const QUESTION: FindQuestion = {
  space: {
    record: { from: 2, to: 4 },
    fader: { from: 3, to: 10 },
    strokes: ["forward", "back", "hold"],
    cells: ["open", "closed", "click"],
  },
  filter: { mirrored: true },
  ranking: { by: "difficulty", first: "most" },
  top: 40,
};

describe("a search on several threads", () => {
  it("answers as one thread does, whatever their number", async () => {
    const expected = alone(QUESTION);
    expect(Number(expected.count)).toBeGreaterThan(1000);
    for (const workers of [1, 2, 3]) {
      const running = started(QUESTION, workers);
      expect(await running.answer).toEqual(expected);
      expect(running.progress()).toMatchObject({
        looked: running.progress().total,
        matching: expected.count,
      });
    }
  });

  it("counts by formula and lists the first where nothing is asked of the combinations", async () => {
    const { filter: _filter, ranking: _ranking, ...plain } = QUESTION;
    const vast: FindQuestion = { ...plain, space: { ...plain.space, fader: { from: 20, to: 24 } }, top: 3 };
    const { count, combinations, complete } = await started(vast, 2).answer;
    // By another program: the sum over m of 2 to 4 and n of 20 to 24 of gcd(m, n) L(m) L(n), L by OEIS A027376.
    expect(count).toBe("1427753656776");
    expect([combinations.length, complete]).toEqual([3, true]);
  });

  it("stops when it is given up, and says that it saw only a part", async () => {
    const long: FindQuestion = {
      ...QUESTION,
      space: { ...QUESTION.space, record: { from: 6, to: 6 }, fader: { from: 15, to: 15 } },
      top: 5,
    };
    const running = started(long, 2);
    while (running.progress().looked === "0") await new Promise((resolve) => setTimeout(resolve, 5));
    running.cancel();
    const answer = await running.answer;
    const { looked, total, matching } = running.progress();
    expect(answer.complete).toBe(false);
    expect(answer.count).toBe(matching);
    expect(BigInt(looked)).toBeLessThan(BigInt(total));
  });

  it("refuses what makes no sense before any thread starts", () => {
    expect(startSearch({ ...QUESTION, meter: "4/5" }, 2)).toEqual({
      refused: "4/5 is no metre: its upper number is 1 to 64, its lower 1, 2, 4, 8, 16 or 32.",
    });
  });
});
