import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { FaderState, Move, Pattern } from "../../schemas/routine.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { metreOf, subdivisionsOf } from "../../server/facts/metre.ts";
import { arcSum, chordSum, distinctDistances, hasOddity, isDeep } from "../../server/facts/metreEvenness.ts";
import type { Rhythm } from "../../server/facts/rhythm.ts";
import { type Meter, parseMeter } from "../../server/time/meter.ts";
import { holds } from "../reference/laws.ts";

const meter = (text: string): Meter => {
  const parsed = parseMeter(text);
  if (parsed === null) throw new Error(text);
  return parsed;
};
const pattern = (record: readonly Move[], fader: readonly FaderState[], step = "1/16"): Pattern => ({
  id: "phrase",
  record: { step, strokes: record.map((move) => ({ move })) },
  fader: { step, cells: fader.map((state) => ({ fader: state })) },
});
const SIXTEENTH = UNITS_PER_WHOLE / 16;

describe("the metre of a phrase", () => {
  it("says for each repeat how it pulls against the bar, and which pulls most", () => {
    // One onset every three sixteenths. The weights of the bar are 0 -4 -3 -4 -2 -4 -3 -4 -1 …, so the onset on the
    // last sixteenth, held over the bar line, has the strength 0 − (−4).
    const facts = metreOf(pattern(["forward", "hold", "hold"], ["click"]), meter("4/4"));
    expect(facts?.repeats.slice(0, 6).map(({ at, lhl }) => [at, lhl])).toEqual([
      ["0", 0],
      ["3/16", 2],
      ["3/8", 2],
      ["9/16", 1],
      ["3/4", 0],
      ["15/16", 4],
    ]);
    expect(facts?.pullsMost).toBe(5);
    expect(facts?.repeats).toHaveLength(16);
    expect(facts?.rhythm).toMatchObject({
      onsets: 1,
      perQuarter: 4 / 3,
      filled: 1 / 3,
      evenness: 1,
      npvi: null,
    });
    expect([facts?.pulse, facts?.barPulses]).toEqual(["1/16", 16]);
  });

  it("measures a rhythm of the literature as the literature does, once it is a phrase (Gómez et al. 2005, Fig. 8)", () => {
    // Son: 0 3 6 10 12 of 16, each onset a click over a moving record.
    const son = [0, 3, 6, 10, 12];
    const strokes = Array.from({ length: 16 }, (_, at): Move => (son.includes(at) ? "forward" : "hold"));
    const facts = metreOf(pattern(strokes, ["click"]), meter("4/4"));
    expect(facts?.whole).toMatchObject({
      wnbd: "14/5",
      keithStarts: 2,
      keith: 6,
      offBeats: 1,
      lhl: 4,
      complexity: 4,
    });
    expect(facts?.repeats).toHaveLength(1);
    expect(facts?.rhythm.npvi).toBeCloseTo(40.5, 1);
  });

  it("parts a bar as its metre does", () => {
    expect(subdivisionsOf(meter("4/4"), 16)).toEqual([2, 2, 2, 2]);
    expect(subdivisionsOf(meter("12/8"), 24)).toEqual([2, 2, 3, 2]);
    expect(subdivisionsOf(meter("7/8"), 14)).toEqual([7, 2]);
    expect(subdivisionsOf(meter("4/4"), 12)).toEqual([2, 2, 3]);
  });

  it("has nothing to say of silence, nor of a grid finer than 192 pulses a bar", () => {
    expect(metreOf(pattern(["hold"], ["open"]), meter("4/4"))).toBeNull();
    expect(metreOf(pattern(["forward", "back", "hold"], ["click"], "1/208"), meter("4/4"))).toBeNull();
  });

  it("gives a phrase that starts one repeat later the same repeats, turned by one", () => {
    const phrases = fc.tuple(
      fc.array(fc.constantFrom<Move>("forward", "back", "hold"), { minLength: 1, maxLength: 5 }),
      fc.array(fc.constantFrom<FaderState>("open", "closed", "click", "pulse"), {
        minLength: 1,
        maxLength: 6,
      }),
      fc.constantFrom("4/4", "3/4", "7/8", "6/8"),
    );
    holds("one repeat later", 100, phrases, ([record, fader, bar]) => {
      const phrase = pattern(record, fader);
      const facts = metreOf(phrase, meter(bar));
      if (facts === null) return;
      const length = facts.repeats.length;
      let steps = record.length;
      while (steps % fader.length !== 0) steps += record.length;
      const later = metreOf(phrase, meter(bar), (steps * SIXTEENTH) % meter(bar).bar);
      // The pulse may be finer where the phrase starts off the grid that it had; then the bar has other levels.
      if (later?.pulse !== facts.pulse) return;
      expect(later?.repeats).toEqual([...facts.repeats.slice(1), ...facts.repeats.slice(0, 1)]);
      expect(later?.whole).toEqual(facts.whole);
      const summed = facts.repeats.reduce((sum, { lhl }) => sum + lhl, 0);
      expect(facts.whole.lhl).toBeCloseTo(
        (summed * facts.barPulses) / (length * phrasePulses(facts.pulse, steps)),
        9,
      );
    });
  });
});

const phrasePulses = (pulse: string, steps: number): number => {
  const [n = 0, d = 1] = pulse.split("/").map(Number);
  return (steps / 16) * (d / n);
};

describe("measures of distances", () => {
  /** Every two onsets, one by one. */
  const apart = ({ pulses, onsets }: Rhythm): number[] =>
    onsets.flatMap((a, index) => onsets.slice(index + 1).map((b) => Math.min(b - a, pulses - (b - a))));

  it("are those of going through every two onsets, however dense the rhythm", () => {
    // Dense rhythms are laid over themselves, sparse ones gone through pair by pair; both ways stand here.
    const rhythms = fc
      .tuple(
        fc.integer({ min: 1, max: 200 }),
        fc.constantFrom(0.05, 0.5, 0.95),
        fc.infiniteStream(fc.double({ noNaN: true, min: 0, max: 1 })),
      )
      .map(([pulses, density, stream]): Rhythm => {
        const chance = stream[Symbol.iterator]();
        const onsets = Array.from({ length: pulses }, (_, pulse) => pulse).filter(
          () => (chance.next().value as number) < density,
        );
        return { pulses, onsets };
      });
    holds("measures of distances", 300, rhythms, (rhythm) => {
      const all = apart(rhythm);
      const times = new Map<number, number>();
      for (const distance of all) times.set(distance, (times.get(distance) ?? 0) + 1);
      const chords = all.reduce((sum, d) => sum + 2 * Math.sin((Math.PI * d) / rhythm.pulses), 0);
      expect(chordSum(rhythm)).toBeCloseTo(chords, 8);
      expect(arcSum(rhythm)).toBe(all.reduce((sum, d) => sum + d, 0));
      expect(hasOddity(rhythm)).toBe(all.every((d) => 2 * d !== rhythm.pulses));
      expect(isDeep(rhythm)).toBe(new Set(times.values()).size === times.size);
      expect(distinctDistances(rhythm)).toBe(times.size);
    });
  });
});
