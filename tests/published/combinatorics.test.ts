/**
 * Counts of the OEIS (The On-Line Encyclopedia of Integer Sequences, https://oeis.org) and plain arithmetic, against
 * what lists and counts cycles, combinations and fillings here.
 */
import { describe, expect, it } from "vitest";
import { LONGEST_RECORD, type Space } from "../../schemas/find.ts";
import type { Pattern } from "../../schemas/routine.ts";
import { degrees, UNITS_PER_WHOLE, units } from "../../schemas/units.ts";
import { fill } from "../../server/facts/fill.ts";
import { fillCount } from "../../server/facts/fillCount.ts";
import { countOf } from "../../server/facts/findSpace.ts";
import { lyndonCount, lyndonWords } from "../../server/facts/lyndon.ts";
import { compilePlacement, NOTHING_BEFORE } from "../../server/hands/placement.ts";
import { combinedUnits } from "../../server/routine/layout.ts";
import { fraction } from "../../schemas/fraction.ts";
import { lcm } from "../../server/time/fraction.ts";

const upTo = (n: number): number[] => Array.from({ length: n }, (_, index) => index + 1);
const divisors = (n: number): number[] => upTo(n).filter((divisor) => n % divisor === 0);
const turns = (word: string): string[] => [...word].map((_, at) => word.slice(at) + word.slice(0, at));

/** Every cycle of n over two kinds, each once however it is turned: a shortest form, repeated. */
const necklaces = (n: number): string[] =>
  divisors(n).flatMap((length) =>
    // One buffer is handed out again and again: read each before the next.
    Array.from(lyndonWords(2, length), (word) => word.join("").repeat(n / length)),
  );
/** The same, each once however it is turned or read backwards. */
const bracelets = (n: number): string[] =>
  necklaces(n).filter((word) => {
    const back = [...word].reverse().join("");
    return turns(back).every((turn) => word <= turn);
  });
const byOnsets = (n: number, words: readonly string[]): number[] =>
  [0, ...upTo(n)].map((onsets) => words.filter((word) => word.split("1").length - 1 === onsets).length);

describe("cycles", () => {
  it("in shortest form are as many as OEIS A001037 says, by formula to 20 and listed to 16", () => {
    const A001037 = [
      2, 1, 2, 3, 6, 9, 18, 30, 56, 99, 186, 335, 630, 1161, 2182, 4080, 7710, 14532, 27594, 52377,
    ];
    expect(upTo(20).map((n) => Number(lyndonCount(2, n)))).toEqual(A001037);
    const listed = (n: number): number => {
      let count = 0;
      for (const _ of lyndonWords(2, n)) count++;
      return count;
    };
    expect(upTo(LONGEST_RECORD).map(listed)).toEqual(A001037.slice(0, LONGEST_RECORD));
  });

  it("of any form are as many as OEIS A000031 says, shortest forms repeated", () => {
    const A000031 = [
      2, 3, 4, 6, 8, 14, 20, 36, 60, 108, 188, 352, 632, 1182, 2192, 4116, 7712, 14602, 27596, 52488,
    ];
    const byFormula = (n: number): number =>
      divisors(n).reduce((sum, length) => sum + Number(lyndonCount(2, length)), 0);
    expect(upTo(20).map(byFormula)).toEqual(A000031);
    expect(upTo(12).map((n) => new Set(necklaces(n)).size)).toEqual(A000031.slice(0, 12));
  });

  it("that may be read backwards as well are as many as OEIS A000029 says (Gilbert & Riordan 1961)", () => {
    const A000029 = [
      2, 3, 4, 6, 8, 13, 18, 30, 46, 78, 126, 224, 380, 687, 1224, 2250, 4112, 7685, 14310, 27012,
    ];
    expect(upTo(16).map((n) => bracelets(n).length)).toEqual(A000029.slice(0, 16));
    // To the end of the list by Burnside's lemma: the turns fix what A000031 counts, each reflection 2^(its orbits).
    const reflected = (n: number): number => (n % 2 === 1 ? 2 ** ((n + 1) / 2) : 3 * 2 ** (n / 2 - 1));
    const turned = (n: number): number =>
      divisors(n).reduce((sum, length) => sum + Number(lyndonCount(2, length)), 0);
    expect(upTo(20).map((n) => (turned(n) + reflected(n)) / 2)).toEqual(A000029);
  });

  it("by their number of onsets are as many as OEIS A047996 and A052307 say", () => {
    expect(byOnsets(12, necklaces(12))).toEqual([1, 1, 6, 19, 43, 66, 80, 66, 43, 19, 6, 1, 1]);
    expect(byOnsets(16, necklaces(16))).toEqual([
      1, 1, 8, 35, 116, 273, 504, 715, 810, 715, 504, 273, 116, 35, 8, 1, 1,
    ]);
    expect(byOnsets(12, bracelets(12))).toEqual([1, 1, 6, 12, 29, 38, 50, 38, 29, 12, 6, 1, 1]);
  });
});

describe("combinations", () => {
  const space = (record: number, fader: number, kinds: 2 | 3): Space => ({
    record: { from: record, to: record },
    fader: { from: fader, to: fader },
    strokes: (["forward", "back", "hold"] as const).slice(0, kinds),
    cells: (["open", "click", "closed"] as const).slice(0, kinds),
  });

  it("of 2 to 4 under 3 to 7 steps are gcd(m, n) × L(m) × L(n), L being OEIS A001037 (derived)", () => {
    expect([2, 3, 4].map((m) => [3, 4, 5, 6, 7].map((n) => Number(countOf(space(m, n, 2)))))).toEqual([
      [2, 6, 6, 18, 18],
      [12, 6, 12, 54, 36],
      [6, 36, 18, 54, 54],
    ]);
  });

  it("are that for m to 6 and n to 12, over two kinds (OEIS A001037) and over three (OEIS A027376, from memory)", () => {
    const L = {
      2: [2, 1, 2, 3, 6, 9, 18, 30, 56, 99, 186, 335],
      3: [3, 3, 8, 18, 48, 116, 312, 810, 2184, 5880, 16104, 44220],
    } as const;
    for (const kinds of [2, 3] as const) {
      for (const m of upTo(6)) {
        for (const n of upTo(12)) {
          const together = Math.max(...divisors(m).filter((divisor) => n % divisor === 0));
          const expected = together * (L[kinds][m - 1] as number) * (L[kinds][n - 1] as number);
          expect([kinds, m, n, Number(countOf(space(m, n, kinds)))]).toEqual([kinds, m, n, expected]);
        }
      }
    }
  });
});

describe("fillings", () => {
  const counts = (groups: readonly number[], to: number): number[] =>
    upTo(to).map((size) => Number(fillCount({ size, lengths: groups, pins: [] })));

  it("of 3, 4 and 5 are as many as OEIS A017818 says", () => {
    expect(counts([3, 4, 5], 32)).toEqual([
      0, 0, 1, 1, 1, 1, 2, 3, 3, 4, 6, 8, 10, 13, 18, 24, 31, 41, 55, 73, 96, 127, 169, 224, 296, 392, 520,
      689, 912, 1208, 1601, 2121,
    ]);
  });

  it("of 5 and 7 are as many as OEIS A369816 says", () => {
    expect(counts([5, 7], 36)).toEqual([
      0, 0, 0, 0, 1, 0, 1, 0, 0, 1, 0, 2, 0, 1, 1, 0, 3, 0, 3, 1, 1, 4, 0, 6, 1, 4, 5, 1, 10, 1, 10, 6, 5, 15,
      2, 20,
    ]);
  });

  it("of 3, 5 and 7 are as many as OEIS A245367 says", () => {
    expect(counts([3, 5, 7], 22)).toEqual([
      0, 0, 1, 0, 1, 1, 1, 2, 1, 3, 3, 3, 6, 5, 8, 10, 11, 17, 18, 25, 32, 37,
    ]);
  });

  it("of 1 and 2 are Fibonacci numbers: F(150) of 31 digits (OEIS A000045; digits from memory)", () => {
    const answer = fill({
      gap: fraction(149),
      groups: [1, 2].map((part) => ({ name: String(part), length: fraction(part) })),
      top: 0,
    });
    expect("count" in answer && answer.count).toBe(9_969_216_677_189_303_386_214_405_760_200n);
  });

  it("leave the gaps of the Frobenius problem open (Sylvester 1882; 6, 9, 20: OEIS A065003, A214777)", () => {
    const CASES = [
      { parts: [5, 7], g: 23, open: 12 },
      { parts: [3, 4, 5], g: 2, open: 2 },
      { parts: [6, 9, 20], g: 43, open: 22 },
      { parts: [4, 9], g: 23, open: 12 },
      { parts: [9, 20], g: 151, open: 76 },
      { parts: [3, 5], g: 7, open: 4 },
      { parts: [7, 16], g: 89, open: 45 },
    ];
    for (const { parts, g, open } of CASES) {
      const unfilled = counts(parts, 200).flatMap((count, index) => (count === 0 ? [index + 1] : []));
      expect([parts, unfilled.at(-1), unfilled.length]).toEqual([parts, g, open]);
      const answer = fill({
        gap: fraction(g),
        groups: parts.map((part) => ({ name: String(part), length: fraction(part) })),
        top: 1,
      });
      expect("nearest" in answer && answer.nearest?.longer).toEqual(fraction(g + 1));
    }
  });
});

describe("common lengths", () => {
  const together = (parts: readonly number[]): number =>
    Number(parts.reduce((length, part) => lcm(length, BigInt(part)), 1n));

  it("of several cycles are taken pair by pair, not by product over divisor (arithmetic; pairs: OEIS A003990)", () => {
    const CASES: [number[], number][] = [
      [[3, 4, 5], 60],
      [[3, 4, 16], 48],
      [[5, 7, 16], 560],
      [[3, 5, 7, 16], 1680],
      [[6, 10, 15], 30],
      [[12, 18, 27], 108],
      [[4, 6], 12],
      [[1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 2520],
      [[11, 13, 16], 2288],
    ];
    for (const [parts, length] of CASES) expect([parts, together(parts)]).toEqual([parts, length]);
  });

  it("are met by both hands' groups so often: L/a + L/b − 1 different starts (elementary)", () => {
    const CASES = [
      { a: 3, b: 2, length: 6, starts: 4 },
      { a: 3, b: 4, length: 12, starts: 6 },
      { a: 5, b: 4, length: 20, starts: 8 },
      { a: 4, b: 6, length: 12, starts: 4 },
      { a: 5, b: 7, length: 35, starts: 11 },
      { a: 7, b: 16, length: 112, starts: 22 },
    ];
    for (const { a, b, length, starts } of CASES) {
      const pattern: Pattern = {
        id: "phrase",
        record: { step: "1/16", strokes: Array.from({ length: a }, () => ({ move: "forward" as const })) },
        fader: { step: "1/16", cells: Array.from({ length: b }, () => ({ fader: "open" as const })) },
      };
      const duration = combinedUnits(pattern);
      expect(Number(duration) / (UNITS_PER_WHOLE / 16)).toBe(length);
      const { recordGroups, faderGroups } = compilePlacement({
        pattern,
        recordFrom: 0,
        faderFrom: 0,
        duration: units(Number(duration)),
        position: degrees(0),
        before: NOTHING_BEFORE,
        placement: 0,
        offset: 0,
        turned: () => 0,
      });
      expect(new Set([...recordGroups, ...faderGroups]).size).toBe(starts);
    }
  });

  it("of groups that add up to n are at most Landau's function (OEIS A000793)", () => {
    const A000793 = [1, 1, 2, 3, 4, 6, 6, 12, 15, 20, 30, 30, 60, 60, 84, 105, 140, 210, 210, 420, 420];
    const greatest = (n: number): number => {
      // Every set of parts once: its least common multiple, by the parts not below a least one.
      const search = (rest: number, least: number, length: number): number => {
        let best = length;
        for (let part = least; part <= rest; part++)
          best = Math.max(best, search(rest - part, part + 1, together([length, part])));
        return best;
      };
      return search(n, 2, 1);
    };
    expect([0, ...upTo(20)].map(greatest)).toEqual(A000793);
  });
});
