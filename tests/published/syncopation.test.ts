/**
 * Measures of syncopation and evenness, on the six timelines of 16 pulses and the ten of 12 that the literature uses.
 * Each group names its source; the values of the BRIDGES 2005 figures were read through a published transcription.
 */
import { describe, expect, it } from "vitest";
import {
  arcSum,
  chordSum,
  distinctDistances,
  distinctIntervals,
  hasOddity,
  intervals,
  isDeep,
  isMaximallyEven,
  nPVI,
} from "../../server/facts/metreEvenness.ts";
import {
  keith,
  keithStarts,
  lhl,
  mean,
  metricalComplexity,
  metricalWeights,
  offBeatness,
  wnbd,
} from "../../server/facts/metreSyncopation.ts";
import { subdivisionsOf } from "../../server/facts/metre.ts";
import { euclidean } from "../../server/facts/euclid.ts";
import { fractionText } from "../../schemas/fraction.ts";
import { parseMeter } from "../../server/time/meter.ts";

/** Toussaint 2002, BRIDGES 157-168; Gómez, Melvin, Rappaport & Toussaint 2005, BRIDGES 73-84, Fig. 8. */
const SIX = {
  shiko: [0, 4, 6, 10, 12],
  son: [0, 3, 6, 10, 12],
  soukous: [0, 3, 6, 10, 11],
  rumba: [0, 3, 7, 10, 12],
  bossa: [0, 3, 6, 10, 13],
  gahu: [0, 3, 6, 10, 14],
} as const;
type Name = keyof typeof SIX;
const NAMES = Object.keys(SIX) as Name[];
const rhythm = (name: Name) => ({ pulses: 16, onsets: SIX[name] });
const onAll = <Value>(measure: (rhythm: { pulses: number; onsets: readonly number[] }) => Value) =>
  Object.fromEntries(NAMES.map((name) => [name, measure(rhythm(name))]));
const sum = (values: readonly (number | null)[]): number =>
  values.reduce<number>((total, value) => total + Math.max(0, value ?? 0), 0);

const SIXTEENTHS = metricalWeights([2, 2, 2, 2]);

describe("six timelines of 16 pulses", () => {
  it("have the weighted note-to-beat distance of Gómez et al. 2005, Fig. 8", () => {
    expect(onAll((one) => fractionText(mean(wnbd(one, 4))))).toEqual({
      shiko: "6/5",
      son: "14/5",
      soukous: "18/5",
      rumba: "18/5",
      bossa: "4",
      gahu: "18/5",
    });
  });

  it("have Keith's count of off-beat starts of Gómez et al. 2005, Fig. 8", () => {
    expect(onAll((one) => sum(keithStarts(one, 16)))).toEqual({
      shiko: 1,
      son: 2,
      soukous: 3,
      rumba: 2,
      bossa: 3,
      gahu: 3,
    });
  });

  it("have Keith's own measure, hesitation 1, anticipation 2, syncopation 3 (Keith 1991; weights as in published code)", () => {
    expect(onAll((one) => sum(keith(one, 16)))).toEqual({
      shiko: 3,
      son: 6,
      soukous: 8,
      rumba: 6,
      bossa: 9,
      gahu: 9,
    });
  });

  it("have the off-beatness of Gómez et al. 2005, Fig. 8", () => {
    expect(onAll((one) => sum(offBeatness(one, 16)))).toEqual({
      shiko: 0,
      son: 1,
      soukous: 2,
      rumba: 2,
      bossa: 2,
      gahu: 1,
    });
  });

  it("have the syncopation of Longuet-Higgins & Lee 1984, cyclic (values worked out from the definition, no print read)", () => {
    expect(onAll((one) => sum(lhl(one, SIXTEENTHS)))).toEqual({
      shiko: 2,
      son: 4,
      soukous: 6,
      rumba: 5,
      bossa: 6,
      gahu: 5,
    });
  });

  it("have the metrical complexity of Toussaint 2002 (values worked out from the definition, no print read)", () => {
    expect(onAll((one) => metricalComplexity(one, SIXTEENTHS))).toEqual({
      shiko: 2,
      son: 4,
      soukous: 6,
      rumba: 5,
      bossa: 6,
      gahu: 5,
    });
    // Toussaint's own weights are these plus 5, the greatest metricity of five onsets 17.
    expect(SIXTEENTHS.map((weight) => weight + 5)).toEqual([5, 1, 2, 1, 3, 1, 2, 1, 4, 1, 2, 1, 3, 1, 2, 1]);
  });

  it("do not tell metrical complexity from syncopation, but this rhythm does (constructed)", () => {
    const one = { pulses: 16, onsets: [0, 1, 2, 4, 8] };
    expect([sum(lhl(one, SIXTEENTHS)), metricalComplexity(one, SIXTEENTHS)]).toEqual([0, 2]);
  });

  it("have the nPVI of Toussaint 2013, Fig. 17.13, not wrapped, to the printed digit", () => {
    const printed: Record<string, number> = {
      shiko: 66.7,
      son: 40.5,
      soukous: 70.5,
      rumba: 41.0,
      gahu: 23.8,
      bossa: 14.3,
    };
    for (const name of NAMES)
      expect(
        Math.abs((nPVI(intervals(rhythm(name))) as number) - (printed[name] as number)),
      ).toBeLessThanOrEqual(0.05);
  });

  it("have the features of Toussaint 2013, Fig. 37.11 and 17.13", () => {
    expect(onAll(isMaximallyEven)).toEqual({
      shiko: false,
      son: false,
      soukous: false,
      rumba: false,
      bossa: true,
      gahu: false,
    });
    expect(onAll(hasOddity)).toEqual({
      shiko: false,
      son: true,
      soukous: false,
      rumba: true,
      bossa: true,
      gahu: false,
    });
    expect(onAll(distinctIntervals)).toEqual({ shiko: 2, son: 3, soukous: 4, rumba: 3, bossa: 2, gahu: 3 });
    expect(onAll(isDeep)).toEqual({
      shiko: true,
      son: false,
      soukous: false,
      rumba: false,
      bossa: true,
      gahu: false,
    });
    expect(onAll(distinctDistances)).toEqual({ shiko: 4, son: 5, soukous: 7, rumba: 6, gahu: 7, bossa: 4 });
  });

  it("share one sum of arcs, but not of chords (Toussaint; Demaine et al. 2009; digits worked out)", () => {
    expect(new Set(Object.values(onAll(arcSum)))).toEqual(new Set([48]));
    const chords = {
      shiko: 15.164411,
      son: 15.282493,
      soukous: 15.009642,
      rumba: 15.211485,
      bossa: 15.325194,
      gahu: 15.136103,
    };
    for (const name of NAMES) expect(chordSum(rhythm(name))).toBeCloseTo(chords[name], 6);
    expect(chordSum(euclidean(5, 16))).toBeCloseTo(15.325193743, 9);
  });
});

describe("ten timelines of 12 pulses", () => {
  /** Gómez et al. 2005, Fig. 11, beats of 3 pulses; the distance of ashanti stands both ways in a secondary source. */
  const TEN = {
    soli: { bits: "101010101101", offbeat: 1, wnbd: "15/7" },
    tambu: { bits: "101010110101", offbeat: 2, wnbd: "15/7" },
    bembe: { bits: "101011010101", offbeat: 3, wnbd: "3" },
    bembe2: { bits: "110101101010", offbeat: 2, wnbd: "15/7" },
    yoruba: { bits: "101011010110", offbeat: 2, wnbd: "3" },
    tonada: { bits: "101101101010", offbeat: 1, wnbd: "15/7" },
    asaadua: { bits: "101010110110", offbeat: 1, wnbd: "15/7" },
    sorsonet: { bits: "111010101010", offbeat: 1, wnbd: "3" },
    bemba: { bits: "101101010110", offbeat: 2, wnbd: "15/7" },
    ashanti: { bits: "101101011010", offbeat: 2, wnbd: "3" },
  };

  it("have the off-beatness and the weighted note-to-beat distance of Gómez et al. 2005, Fig. 11", () => {
    for (const [name, { bits, offbeat, wnbd: distance }] of Object.entries(TEN)) {
      const one = { pulses: 12, onsets: [...bits].flatMap((bit, at) => (bit === "1" ? [at] : [])) };
      expect([name, sum(offBeatness(one, 12)), fractionText(mean(wnbd(one, 3)))]).toEqual([
        name,
        offbeat,
        distance,
      ]);
    }
  });
});

describe("Longuet-Higgins & Lee 1984", () => {
  it("weigh the pulses of a bar as they do (through Honing's 2002 implementation)", () => {
    const weights = (meter: string, pulses: number) => {
      const parsed = parseMeter(meter);
      if (parsed === null) throw new Error(meter);
      return metricalWeights(subdivisionsOf(parsed, pulses));
    };
    expect(weights("4/4", 8)).toEqual([0, -3, -2, -3, -1, -3, -2, -3]);
    expect(weights("4/4", 16)).toEqual([0, -4, -3, -4, -2, -4, -3, -4, -1, -4, -3, -4, -2, -4, -3, -4]);
    expect(weights("3/4", 6)).toEqual([0, -2, -1, -2, -1, -2]);
    expect(weights("6/8", 6)).toEqual([0, -2, -2, -1, -2, -2]);
    expect(weights("12/8", 12)).toEqual([0, -3, -3, -2, -3, -3, -1, -3, -3, -2, -3, -3]);
  });

  it("give the strengths of their Fig. 9, equal weights counting as a syncopation of 0, not wrapped", () => {
    const CASES = [
      { ioi: [1, 3], meter: [2, 2], strength: 1 },
      { ioi: [2, 1, 3, 2], meter: [2, 2, 2], strength: 2 },
      { ioi: [3, 1], meter: [2, 2], strength: null },
      { ioi: [2, 1], meter: [3], strength: null },
      { ioi: [1, 2], meter: [3], strength: 0 },
    ];
    for (const { ioi, meter, strength } of CASES) {
      const pulses = ioi.reduce((a, b) => a + b, 0);
      const onsets = ioi.map((_, index) => ioi.slice(0, index).reduce((a, b) => a + b, 0));
      const found = lhl({ pulses, onsets }, metricalWeights(meter), false).filter(
        (value) => value !== null && value >= 0,
      );
      expect([ioi, found]).toEqual([ioi, strength === null ? [] : [strength]]);
    }
  });
});

describe("a rhythm that is not wrapped", () => {
  it("ends its last rests with itself, where a wrapped one goes on to its first onset (constructed)", () => {
    const one = { pulses: 4, onsets: [2] };
    const weights = metricalWeights([2, 2]);
    expect([lhl(one, weights, true), lhl(one, weights, false)]).toEqual([[1], [-1]]);
  });
});

describe("nPVI", () => {
  it("is what Daniele & Patel 2013, Appendix, and Condit-Schultz 2019, Fig. 2, print (within 0.05; 62.857 where 62.8 is printed)", () => {
    const third = 1 / 3;
    const CASES: [number[], number][] = [
      [
        [
          1,
          0.5,
          0.5,
          1,
          0.5,
          0.5,
          third,
          third,
          third,
          2,
          third,
          third,
          third,
          third,
          third,
          third,
          1.5,
          1,
          0.5,
        ],
        42.2,
      ],
      [[0.25, 0.25, 0.25, 0.25, 1, 0.25, 0.25, 0.25, 0.25, 1], 40],
      [[0.25, 0.25, 0.5, 1, 0.25, 0.25, 0.5, 1], 55.2],
      // Printed as 62.8; 62.857 by the formula.
      [[0.5, 0.25, 0.25, 1, 0.5, 0.25, 0.25, 1], 62.9],
    ];
    for (const [durations, printed] of CASES)
      expect(Math.abs((nPVI(durations) as number) - printed)).toBeLessThanOrEqual(0.05);
  });

  it("is the contrast of one pair, Condit-Schultz 2019, Fig. 3", () => {
    expect(nPVI([1, 3])).toBe(100);
    expect(nPVI([1, 7])).toBe(150);
    expect(nPVI([2, 3])).toBeCloseTo(40, 9);
    expect(nPVI([1, 2])).toBeCloseTo(66.67, 2);
  });
});
