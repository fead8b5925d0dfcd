import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Filter, FindQuestion, Found, Ranking, Space } from "../../schemas/find.ts";
import type { FaderState, Move } from "../../schemas/routine.ts";
import { difficultyOf } from "../../server/facts/difficulty.ts";
import { distance } from "../../server/facts/distance.ts";
import { driftDegrees } from "../../server/facts/drift.ts";
import { type Listed, listing, meetingsOf, nothingSeen, search } from "../../server/facts/find.ts";
import { type FindPlan, planOf } from "../../server/facts/findPlan.ts";
import { blocksOf, countOf } from "../../server/facts/findSpace.ts";
import { lyndonWords } from "../../server/facts/lyndon.ts";
import { metreOf } from "../../server/facts/metre.ts";
import { isMirrored } from "../../server/facts/mirror.ts";
import { tradeNames } from "../../server/facts/names.ts";
import { handReach } from "../../server/facts/playability.ts";
import { limitsOf } from "../../server/routine/lookups.ts";
import { parseMeter } from "../../server/time/meter.ts";
import { holds } from "../reference/laws.ts";
import { canonical, middleRound, mirroredByTrying, patternOf, shortestForms } from "./reference.ts";

const MOVES: readonly Move[] = ["forward", "back", "hold"];
const CELLS: readonly FaderState[] = ["open", "closed", "click", "pulse"];

const space = (
  record: number | [number, number],
  fader: number | [number, number],
  strokes: readonly Move[] = MOVES,
  cells: readonly FaderState[] = CELLS,
): Space => {
  const range = (length: number | [number, number]) =>
    typeof length === "number" ? { from: length, to: length } : { from: length[0], to: length[1] };
  return { record: range(record), fader: range(fader), strokes: [...strokes], cells: [...cells] };
};

function ready(question: FindQuestion): FindPlan {
  const plan = planOf(question);
  if ("refused" in plan) throw new Error(plan.refused);
  return plan;
}
const all = (of: Space, filter: Filter = {}): Found[] =>
  Array.from(listing(ready({ space: of, filter, top: 0 })), ({ found }) => found);

function searched(of: Space, filter: Filter, ranking: Ranking | undefined, top: number) {
  const plan = ready({ space: of, filter, top, ...(ranking === undefined ? {} : { ranking }) });
  const seen = nothingSeen(plan);
  for (const block of blocksOf(of)) search(plan, block, seen, () => true);
  return seen;
}

describe("the space of combinations", () => {
  it("holds gcd(m, n) × L(m) × L(n) combinations, by formula (derived from OEIS A001037)", () => {
    const counts = [2, 3, 4].map((m) =>
      [3, 4, 5, 6, 7].map((n) => Number(countOf(space(m, n, ["forward", "back"], ["open", "click"])))),
    );
    expect(counts).toEqual([
      [2, 6, 6, 18, 18],
      [12, 6, 12, 54, 36],
      [6, 36, 18, 54, 54],
    ]);
    expect(countOf(space([2, 4], [3, 7], ["forward", "back"], ["open", "click"]))).toBe(
      BigInt(counts.flat().reduce((a, b) => a + b)),
    );
  });

  it("lists exactly as many as the formula says, for m to 6 and n to 12, over two kinds", () => {
    for (let m = 1; m <= 6; m++) {
      for (let n = 1; n <= 12; n++) {
        const one = space(m, n, ["forward", "back"], ["open", "click"]);
        let listed = 0;
        for (const block of blocksOf(one))
          for (const _ of meetingsOf(block, one, { step: 1, bar: 16 })) listed++;
        expect([m, n, BigInt(listed)]).toEqual([m, n, countOf(one)]);
      }
    }
  });

  it("walks blocks that together hold as many as the formula says, for m to 6 and n to 12, over three kinds", () => {
    for (let m = 1; m <= 6; m++) {
      for (let n = 1; n <= 12; n++) {
        const one = space(m, n, MOVES, ["open", "closed", "click"]);
        let listed = 0;
        for (const block of blocksOf(one)) {
          const records = [...lyndonWords(3, m, block.recordBeginning)].length;
          const faders = [...lyndonWords(3, n, block.faderBeginning)].length;
          expect(Math.max(records, faders)).toBeLessThanOrEqual(1024);
          const phases = Array.from({ length: m }, (_, i) => i + 1).findLast(
            (g) => m % g === 0 && n % g === 0,
          );
          listed += records * faders * (phases as number);
        }
        expect([m, n, BigInt(listed)]).toEqual([m, n, countOf(one)]);
      }
    }
  });

  it("has every combination once, and none twice (against all pairs of cycles, turned every way)", () => {
    const cells: FaderState[] = ["open", "closed", "click"];
    for (const [m, n] of [
      [1, 1],
      [2, 2],
      [3, 3],
      [2, 4],
      [3, 4],
      [4, 2],
      [4, 4],
    ] as const) {
      const wanted = new Set(
        shortestForms(MOVES, m).flatMap((record) =>
          shortestForms(cells, n).map((fader) => canonical(record, fader)),
        ),
      );
      const listed = all(space(m, n, MOVES, cells)).map(({ record, fader }) => canonical(record, fader));
      expect(new Set(listed)).toEqual(wanted);
      expect(listed).toHaveLength(wanted.size);
    }
  });

  it("can be taken up again after any place", () => {
    const plan = ready({ space: space([2, 3], [3, 4]), top: 0 });
    const whole: Listed[] = [...listing(plan)];
    for (const at of [0, 1, 17, whole.length - 2]) {
      const { place } = whole[at] as Listed;
      expect([...listing(plan, place)]).toEqual(whole.slice(at + 1));
    }
  });

  it("is lazy: the first of more than 10^18 come at once", () => {
    const vast = space(16, 24);
    expect(countOf(vast)).toBeGreaterThan(10n ** 18n);
    const first = listing(ready({ space: vast, top: 1 })).next();
    expect(first.done).toBe(false);
  });
});

/** Some combination: a record and a fader cycle, each no shorter one repeated. */
const someCombination = fc
  .record({
    record: fc.array(fc.constantFrom(...MOVES), { minLength: 1, maxLength: 5 }),
    fader: fc.array(fc.constantFrom(...CELLS), { minLength: 1, maxLength: 6 }),
  })
  .filter(({ record, fader }) => isShortest(record) && isShortest(fader));
const isShortest = (word: readonly string[]): boolean =>
  word.every(
    (_, period) =>
      period === 0 || word.length % period !== 0 || word.some((kind, at) => kind !== word[at % period]),
  );

/** The combination as the search has it. */
function foundAs(record: readonly Move[], fader: readonly FaderState[]): Found {
  const wanted = canonical(record, fader);
  const found = all(space(record.length, fader.length, [...new Set(record)], [...new Set(fader)])).find(
    (one) => canonical(one.record, one.fader) === wanted,
  );
  if (found === undefined) throw new Error(`${record} under ${fader} is not in the space`);
  return found;
}

describe("the facts of a combination", () => {
  it("are those of the same pattern played by the hands, whatever the combination", () => {
    holds("facts of a combination", 150, someCombination, ({ record, fader }) => {
      const found = foundAs(record, fader);
      const pattern = patternOf(found.record, found.fader);
      const round = middleRound(pattern);
      const onsets = { cut: 0, turn: 0, restart: 0, "from-rest": 0 };
      for (const { onset } of round.sounds) onsets[onset]++;
      expect(found.onsets).toEqual(onsets);
      expect(found.sounds).toBe(round.sounds.length);
      expect(found.mirrored).toBe(mirroredByTrying(round));
      expect(found.mirrored).toBe(isMirrored(pattern));
      expect(found.names).toEqual(tradeNames(pattern));
      expect(found.driftDegrees).toBe(driftDegrees(pattern));
      expect(found.difficulty).toBe(difficultyOf(pattern));
    });
  });

  it("know a phrase as its own mirror where what is heard repeats within the combined length", () => {
    // Heard are the even steps alone, F B F B: the shift is a quarter of the 8 steps, and half of them changes nothing.
    const record: Move[] = ["forward", "forward", "back", "forward", "forward", "forward", "back", "back"];
    const fader: FaderState[] = ["open", "closed"];
    expect(mirroredByTrying(middleRound(patternOf(record, fader)))).toBe(true);
    const found = all(space(8, 2, ["forward", "back"], ["open", "closed"])).filter(
      (one) => canonical(one.record, one.fader) === canonical(record, fader),
    );
    expect(found.map(({ mirrored }) => mirrored)).toEqual([true]);
  });

  it("are those of the worked examples", () => {
    const c = "click" as const;
    const o = "open" as const;
    const x = "closed" as const;
    const [F, B, H] = MOVES as readonly [Move, Move, Move];
    const examples: [Move[], FaderState[], object][] = [
      [
        [F, B],
        [c, o, o],
        {
          combinedSteps: "6",
          sounds: 6,
          mirrored: true,
          driftDegrees: 0,
          comeRoundRepeats: 8,
          comeRoundBars: 3,
        },
      ],
      [
        [F, F, B],
        [c, c, o, c, c],
        {
          combinedSteps: "15",
          sounds: 15,
          mirrored: false,
          driftDegrees: 45,
          comeRoundRepeats: 16,
          comeRoundBars: 15,
        },
      ],
      [
        [F, B, B, H],
        [c, o, o, x, c],
        {
          combinedSteps: "20",
          sounds: 12,
          mirrored: false,
          driftDegrees: -45,
          comeRoundRepeats: 4,
          comeRoundBars: 5,
        },
      ],
      [
        [F, F, B, B],
        [c, o, x],
        {
          combinedSteps: "12",
          sounds: 8,
          mirrored: true,
          driftDegrees: 0,
          comeRoundRepeats: 4,
          comeRoundBars: 3,
        },
      ],
      [
        [F, F, B, F, B],
        [c, c, c, x],
        {
          combinedSteps: "20",
          sounds: 15,
          mirrored: false,
          driftDegrees: 45,
          comeRoundRepeats: 4,
          comeRoundBars: 5,
        },
      ],
      [
        [F, F, F, B],
        [c, c, c, c, c, c, o],
        {
          combinedSteps: "28",
          sounds: 28,
          mirrored: false,
          driftDegrees: 90,
          comeRoundRepeats: 4,
          comeRoundBars: 7,
        },
      ],
    ];
    for (const [record, fader, facts] of examples) expect(foundAs(record, fader)).toMatchObject(facts);
    expect(foundAs([F, F, F, B], [o]).closesWith).toEqual({ move: "back", travel: 135 });
    expect(foundAs([F], [o]).closesWith).toBeNull();
  });
});

describe("a search", () => {
  const few = space([1, 4], [1, 4]);

  it("keeps what its filter says, and counts it", () => {
    const whole = all(few);
    const passes = (filter: Filter, keep: (found: Found) => boolean): void => {
      const kept = whole.filter(keep);
      expect(kept.length).toBeGreaterThan(0);
      expect(kept.length).toBeLessThan(whole.length);
      expect(all(few, filter)).toEqual(kept);
      expect(searched(few, filter, undefined, 3)).toMatchObject({
        matching: kept.length,
        looked: whole.length,
      });
    };
    passes({ mirrored: true }, ({ mirrored }) => mirrored);
    passes(
      { combinedSteps: { from: 3, to: 6 } },
      ({ combinedSteps }) => +combinedSteps >= 3 && +combinedSteps <= 6,
    );
    passes({ sounds: { from: 6, to: 6 } }, ({ sounds }) => sounds === 6);
    passes({ withinBars: 1 }, ({ comeRoundBars }) => comeRoundBars === 1);
    passes({ drift: "zero" }, ({ driftDegrees: drift }) => drift === 0);
    passes(
      { drift: "closable" },
      ({ driftDegrees: drift, closesWith }) => drift === 0 || closesWith !== null,
    );
    passes(
      { onsets: { cut: { from: 0.5 }, turn: { to: 0.25 } } },
      ({ onsets, sounds }) => sounds > 0 && onsets.cut * 2 >= sounds && onsets.turn * 4 <= sounds,
    );
  });

  it("finds what hands can do at a tempo as the playability of the same patterns says", () => {
    const limits = limitsOf(undefined);
    for (const tempo of [93, 120.5, 151, 290]) {
      const playable = all(few).filter(({ record, fader }) =>
        handReach(patternOf(record, fader), limits, 200).every(
          ({ reachedAtTempo }) => reachedAtTempo >= tempo,
        ),
      );
      expect(all(few, { playableAt: tempo })).toEqual(playable);
    }
    expect(all(few, { playableAt: 93 }).length).toBeGreaterThan(all(few, { playableAt: 151 }).length);
  });

  it("finds phrases that contain a baby or a tear, or avoid them", () => {
    const named = (record: Move[], fader: FaderState[]): string[] =>
      (["baby", "tear"] as const).filter((name) =>
        all(space(record.length, fader.length, [...new Set(record)], [...new Set(fader)]), {
          contains: [name],
        }).some((found) => canonical(found.record, found.fader) === canonical(record, fader)),
      );
    expect(named(["forward", "back"], ["open"])).toEqual(["baby"]);
    expect(named(["forward", "back"], ["click"])).toEqual([]);
    expect(named(["forward", "forward", "back", "back"], ["open"])).toEqual(["tear"]);
    expect(named(["forward", "back", "hold"], ["open"])).toEqual(["baby"]);
    expect(named(["forward", "back", "hold"], ["click", "open", "closed"])).toEqual(["baby"]);
    expect(named(["forward", "forward", "back"], ["open"])).toEqual([]);
    expect(named(["forward"], ["open"])).toEqual([]);
    expect(named(["forward", "back", "forward", "forward", "back", "back"], ["open"])).toEqual([
      "baby",
      "tear",
    ]);
    const avoiding = all(few, { avoids: ["baby"] }).length;
    expect(avoiding + all(few, { contains: ["baby"] }).length).toBe(all(few).length);
  });

  it("ranks as sorting all of them would, ties in the order of the listing", () => {
    const whole = all(few);
    const values: Record<"difficulty" | "evenness" | "syncopation", (found: Found) => number> = {
      difficulty: ({ difficulty }) => difficulty,
      evenness: ({ record, fader }) => metreOf(patternOf(record, fader), fourFour)?.rhythm.evenness ?? 1,
      syncopation: ({ record, fader }) => metreOf(patternOf(record, fader), fourFour)?.whole.lhl ?? 0,
    };
    for (const by of ["difficulty", "evenness", "syncopation"] as const) {
      for (const first of ["least", "most"] as const) {
        const ranked = searched(few, {}, { by, first }, 25).top.list();
        expect(ranked).toHaveLength(25);
        for (const { item } of ranked) expect(item.rankedAt).toBeCloseTo(values[by](item), 9);
        const sign = first === "least" ? 1 : -1;
        const sorted = whole
          .map((found, at) => ({ found, at, value: sign * values[by](found) }))
          .sort((a, b) => (Math.abs(a.value - b.value) < 1e-9 ? a.at - b.at : a.value - b.value));
        expect(ranked.map(({ item }) => canonical(item.record, item.fader))).toEqual(
          sorted.slice(0, 25).map(({ found }) => canonical(found.record, found.fader)),
        );
      }
    }
  });

  it("ranks by how far a phrase is from the library", () => {
    const known = patternOf(["forward", "back"], ["click", "open", "open"]);
    const plan = ready({
      space: space([2, 3], [3, 4]),
      ranking: { by: "distance", first: "least" },
      top: 1,
      library: [known],
    });
    const seen = nothingSeen(plan);
    for (const block of blocksOf(plan.question.space)) search(plan, block, seen, () => true);
    const [nearest] = seen.top.list();
    expect(nearest?.item).toMatchObject({ rankedAt: 0, record: ["forward", "back"] });
    expect(canonical(nearest?.item.record ?? [], nearest?.item.fader ?? [])).toBe(
      canonical(["forward", "back"], ["click", "open", "open"]),
    );
  });

  it("refuses what makes no sense with a sentence", () => {
    const refused = (question: Partial<FindQuestion>): string => {
      const plan = planOf({ space: few, top: 1, ...question });
      return "refused" in plan ? plan.refused : "asked";
    };
    expect(refused({ meter: "4/5" })).toBe(
      "4/5 is no metre: its upper number is 1 to 64, its lower 1, 2, 4, 8, 16 or 32.",
    );
    expect(refused({ step: "1/17" })).toBe(
      "A step of 1/17 is finer than the clock: take one such as 1/16 or 1/24.",
    );
    expect(refused({ ranking: { by: "distance", first: "most" } })).toBe(
      "There is no library to be far from: give the phrases that you have already.",
    );
    expect(refused({ ranking: { by: "syncopation", first: "most" }, step: "1/10" })).toBe(
      "A step of 1/10 does not part the beat of 4/4, so syncopation has nothing to weigh.",
    );
    expect(refused({ space: space(16, 24), filter: { mirrored: true } })).toMatch(
      /^There are \d{18,} combinations, too many to look at each; the most is 10,000,000,000\./,
    );
  });
});

const fourFour = (() => {
  const meter = parseMeter("4/4");
  if (meter === null) throw new Error("4/4");
  return meter;
})();

describe("the distance between two phrases", () => {
  const phrase = fc.record({
    record: fc.array(fc.constantFrom(...MOVES), { minLength: 1, maxLength: 6 }),
    fader: fc.array(fc.constantFrom(...CELLS), { minLength: 1, maxLength: 6 }),
  });
  const turned = <Kind>(word: readonly Kind[], by: number): Kind[] =>
    word.map((_, at) => word[(at + by) % word.length] as Kind);

  it("is the part of the time in which hands do something else, at the best shift (against trying every step)", () => {
    holds("distance of two phrases", 60, fc.tuple(phrase, phrase), ([a, b]) => {
      const length = 60;
      let least = 1;
      for (let shift = 0; shift < length; shift++) {
        let different = 0;
        for (let at = 0; at < length; at++) {
          if (a.record[at % a.record.length] !== b.record[(at + shift) % b.record.length]) different++;
          if (a.fader[at % a.fader.length] !== b.fader[(at + shift) % b.fader.length]) different++;
        }
        least = Math.min(least, different / (2 * length));
      }
      expect(distance(a, b)).toBeCloseTo(least, 9);
    });
  });

  it("is 0 for a phrase shifted in time, the same both ways, and never longer than a way round", () => {
    const three = fc.tuple(phrase, phrase, phrase, fc.nat(11));
    holds("distance as a measure", 100, three, ([a, b, c, shift]) => {
      expect(distance(a, { record: turned(a.record, shift), fader: turned(a.fader, shift) })).toBe(0);
      expect(distance(a, b)).toBeCloseTo(distance(b, a), 9);
      expect(distance(a, c)).toBeLessThanOrEqual(distance(a, b) + distance(b, c) + 1e-9);
    });
  });
});
