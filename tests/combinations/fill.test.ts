import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Pattern } from "../../schemas/routine.ts";
import { fill, groupOf, type PinnedAt } from "../../server/facts/fill.ts";
import { fraction, fractionText } from "../../schemas/fraction.ts";
import { parseFraction } from "../../server/time/fraction.ts";
import { holds } from "../reference/laws.ts";

const groups = (...lengths: (number | string)[]) =>
  lengths.map((length) => ({ name: String(length), length: parseFraction(length) }));

/** Refusals become text, so that one expectation says what came back. */
function filled(
  gap: number | string,
  lengths: (number | string)[],
  top = 1000,
  pins: readonly PinnedAt[] = [],
): { count: string; best: string[] } | string {
  const answer = fill({ gap: parseFraction(gap), groups: groups(...lengths), top, pins });
  if ("refused" in answer) return answer.refused;
  const best = answer.best.map((filling) => filling.map((group) => lengths[group]).join(" "));
  return { count: answer.count.toString(), best };
}

/** All fillings, one by one: the slow, obvious way. */
function everyFilling(gap: number, lengths: readonly number[]): number[][] {
  if (gap === 0) return [[]];
  return lengths.flatMap((length, group) =>
    length > gap ? [] : everyFilling(gap - length, lengths).map((rest) => [group, ...rest]),
  );
}
const changes = (filling: readonly number[]) =>
  filling.filter((group, index) => index > 0 && group !== filling[index - 1]).length;
const bestFirst = (a: readonly number[], b: readonly number[]): number =>
  changes(a) - changes(b) ||
  a.length - b.length ||
  (a.find((group, index) => group !== b[index]) ?? 0) - (b.find((group, index) => group !== a[index]) ?? 0);

describe("filling a gap", () => {
  it("lists fewest changes first, then fewest groups, then in the order given", () => {
    const answer = filled(16, [3, 4, 5], 6);
    expect(answer).toEqual({
      count: "24",
      best: ["4 4 4 4", "3 3 5 5", "5 5 3 3", "3 3 3 3 4", "4 3 3 3 3", "3 4 4 5"],
    });
  });

  it("counts a number of 63 digits exactly", () => {
    // Sequences of 1 and 2 that fill n are F(n + 1) (Fibonacci numbers, OEIS A000045); F(301) worked out by Python.
    const count = "359579325206583560961765665172189099052367214309267232255589801";
    expect(filled(300, [1, 2], 0)).toEqual({ count, best: [] });
  });

  it("gives every filling in the right order, whatever the groups (against listing all)", () => {
    const gaps = fc.tuple(
      fc.integer({ min: 1, max: 13 }),
      fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { minLength: 1, maxLength: 4 }),
    );
    holds("fillings", 100, gaps, ([gap, lengths]) => {
      const all = everyFilling(gap, lengths).sort(bestFirst);
      const answer = filled(gap, lengths);
      const listed = all.slice(0, 1000).map((filling) => filling.map((group) => lengths[group]).join(" "));
      expect(answer).toEqual({ count: String(all.length), best: listed });
    });
  });

  it("keeps to pins: a boundary, a group's start, a group's end (against listing all)", () => {
    const pin = fc.record({
      at: fc.integer({ min: 0, max: 12 }),
      starts: fc.option(fc.constantFrom(0, 1, 2), { nil: undefined }),
      ends: fc.option(fc.constantFrom(0, 1, 2), { nil: undefined }),
    });
    holds("pins", 100, fc.array(pin, { minLength: 1, maxLength: 3 }), (pins) => {
      const gap = 12;
      const lengths = [2, 3, 4];
      fc.pre(
        pins.every(
          ({ at, starts, ends }) => (at < gap || starts === undefined) && (at > 0 || ends === undefined),
        ),
      );
      const keeps = (filling: readonly number[]): boolean => {
        const starts = new Map<number, number>();
        const ends = new Map<number, number>();
        let at = 0;
        for (const group of filling) {
          starts.set(at, group);
          at += lengths[group] as number;
          ends.set(at, group);
        }
        return pins.every(
          (one) =>
            (starts.has(one.at) || ends.has(one.at)) &&
            (one.starts === undefined || starts.get(one.at) === one.starts) &&
            (one.ends === undefined || ends.get(one.at) === one.ends),
        );
      };
      const all = everyFilling(gap, lengths).filter(keeps).sort(bestFirst);
      const asked: PinnedAt[] = pins.map(({ at, starts, ends }) => ({
        at: fraction(at),
        ...(starts === undefined ? {} : { starts: String(lengths[starts]) }),
        ...(ends === undefined ? {} : { ends: String(lengths[ends]) }),
      }));
      expect(filled(gap, lengths, 1000, asked)).toEqual({
        count: String(all.length),
        best: all.map((filling) => filling.map((group) => lengths[group]).join(" ")),
      });
    });
  });

  it("takes lengths that are fractions of a step", () => {
    expect(filled(4, ["3/2", "5/2", 1])).toEqual({
      count: "6",
      best: ["1 1 1 1", "3/2 5/2", "5/2 3/2", "3/2 3/2 1", "1 3/2 3/2", "3/2 1 3/2"],
    });
  });

  it("takes the user's patterns as groups, as long as their combined length", () => {
    const pattern = (id: string, strokes: number, cells: number): Pattern => ({
      id,
      record: {
        step: "1/16",
        strokes: Array.from({ length: strokes }, () => ({ move: "forward" as const })),
      },
      fader: { step: "1/24", cells: Array.from({ length: cells }, () => ({ fader: "open" as const })) },
    });
    // 2 sixteenths are 3 sixteenth triplets; 3 sixteenths under 2 triplets come together after 12 triplets.
    const swell = groupOf(pattern("swell", 2, 3), "1/16");
    const ebb = groupOf(pattern("ebb", 4, 2), "1/16");
    expect([fractionText(swell.length), fractionText(ebb.length)]).toEqual(["2", "4"]);
    const answer = fill({ gap: fraction(6), groups: [swell, ebb], top: 10 });
    expect(answer).toEqual({
      count: 3n,
      best: [
        [0, 0, 0],
        [0, 1],
        [1, 0],
      ],
      nearest: null,
    });
  });

  it("names the nearest gaps where nothing fills this one", () => {
    const answer = fill({ gap: fraction(23), groups: groups(5, 7), top: 5 });
    expect(answer).toEqual({
      count: 0n,
      best: [],
      nearest: { shorter: fraction(22), longer: fraction(24) },
    });
    expect(fill({ gap: fraction(5), groups: groups(100), top: 5 })).toEqual({
      count: 0n,
      best: [],
      nearest: { shorter: null, longer: fraction(100) },
    });
  });

  it("answers absurd questions with a sentence", () => {
    expect(filled(16, [])).toBe("There are no groups to fill the gap with: name at least one length.");
    expect(filled(0, [3])).toBe("A gap of 0 steps has nothing to fill: give a length above 0.");
    expect(filled(16, [0, 3])).toBe("A group of 0 steps would never fill anything: give lengths above 0.");
    expect(filled(16, [3, 3])).toBe("The group 3 is named twice: name each group once.");
    expect(filled(1_000_000, [3, 4])).toBe(
      "A gap of 1,000,000 steps is too long to fill: the longest is 20,000.",
    );
    expect(filled(16, [3], 1, [{ at: fraction(17) }])).toBe(
      "Step 17 lies outside the gap of 16 steps, so nothing can be pinned there.",
    );
    expect(filled(16, [3], 1, [{ at: fraction(4), starts: "9" }])).toBe(
      "9 is pinned at step 4, but is none of the groups.",
    );
  });

  it("finds the best of the longest gap, whose count has thousands of digits", () => {
    const answer = fill({ gap: fraction(20_000), groups: groups(3, 4, 5), top: 3 });
    if ("refused" in answer) throw new Error(answer.refused);
    expect(answer.best.map((filling) => [filling.length, changes(filling)])).toEqual([
      [4000, 0],
      [5000, 0],
      [4001, 1],
    ]);
    // The greatest root of x⁵ = x² + x + 1 is 1.3247179…, so a size of 20,000 has about 20,000·log10 of it digits.
    expect(answer.count.toString().length).toBeGreaterThan(2400);
  });
});
