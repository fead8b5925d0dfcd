/** What is said of a phrase without listing it, held against the listing. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Cell, Pattern, Stroke } from "../../schemas/routine.ts";
import { isMirrored } from "../../server/facts/mirror.ts";
import { tradeNames } from "../../server/facts/names.ts";
import { countSounds, listSounds, type PhraseSound, phraseOf } from "../../server/facts/phrase.ts";
import { keysOf } from "../../server/facts/sameness.ts";
import { type UnrolledMove, unrolled } from "../../server/facts/unrolled.ts";
import { combinedUnits } from "../../server/routine/layout.ts";
import { holds } from "../reference/laws.ts";

const small = fc.constantFrom(1, 1, 1, 2, 3);
const strokes: fc.Arbitrary<Stroke> = fc.record({
  move: fc.constantFrom("forward", "back", "hold"),
  length: small,
});
const cells: fc.Arbitrary<Cell> = fc.oneof(
  fc.record({ fader: fc.constantFrom("open", "closed", "click", "pulse"), length: small }),
  fc.record({ fader: fc.constant("click" as const), length: small, closedFor: small }),
);
const steps = fc.constantFrom("1/16", "1/16", "1/8", "1/24", "1/12");
const patterns: fc.Arbitrary<Pattern> = fc.record({
  id: fc.constant("phrase"),
  record: fc.record({ step: steps, strokes: fc.array(strokes, { minLength: 1, maxLength: 5 }) }),
  fader: fc.record({ step: steps, cells: fc.array(cells, { minLength: 1, maxLength: 5 }) }),
});

/** One combined length of the phrase, sounds that go round its end joined, as sorted lines of text. */
function lines(pattern: Pattern, shift = 0, exchanged = false): string {
  const length = Number(combinedUnits(pattern));
  return (listSounds(pattern, 10_000) as PhraseSound[])
    .map(({ start, end, direction }) => {
      const way = exchanged ? (direction === "forward" ? "back" : "forward") : direction;
      return `${(start + shift) % length}+${end - start} ${way}`;
    })
    .sort()
    .join("\n");
}

/** Tries every shift that brings a sound onto a sound. */
function mirroredByTrying(pattern: Pattern): boolean {
  const sounds = listSounds(pattern, 10_000) as PhraseSound[];
  const length = Number(combinedUnits(pattern));
  const wanted = lines(pattern, 0, true);
  const first = sounds[0];
  return (
    first !== undefined &&
    sounds.some(({ start }) => lines(pattern, (start - first.start + length) % length) === wanted)
  );
}

const rotated = (pattern: Pattern, record: number, fader: number): Pattern => ({
  ...pattern,
  record: { ...pattern.record, strokes: turned(pattern.record.strokes, record) },
  fader: { ...pattern.fader, cells: turned(pattern.fader.cells, fader) },
});
const turned = <Item>(list: readonly Item[], by: number): Item[] => [
  ...list.slice(by % list.length),
  ...list.slice(0, by % list.length),
];

const exchanged = (pattern: Pattern): Pattern => ({
  ...pattern,
  record: {
    ...pattern.record,
    strokes: pattern.record.strokes.map((stroke) =>
      stroke.move === "hold" ? stroke : { ...stroke, move: stroke.move === "forward" ? "back" : "forward" },
    ),
  },
});

describe("laws of phrases", () => {
  it("counting without listing gives the number listed", () => {
    holds("count", 500, patterns, (pattern) => {
      expect(countSounds(phraseOf(pattern))).toBe(
        BigInt((listSounds(pattern, 10_000) as PhraseSound[]).length),
      );
    });
  });

  it("judging the mirror without listing agrees with trying every shift", () => {
    let mirrored = 0;
    // Half of them are followed by their own mirror, so that there is something to find.
    const often = fc.oneof(
      patterns,
      patterns.map((one) => ({
        ...one,
        record: { ...one.record, strokes: [...one.record.strokes, ...exchanged(one).record.strokes] },
      })),
    );
    holds("mirror", 500, often, (pattern) => {
      const tried = mirroredByTrying(pattern);
      mirrored += tried ? 1 : 0;
      expect(isMirrored(pattern)).toBe(tried);
    });
    expect(mirrored).toBeGreaterThan(50);
  });

  it("the mirror of the mirror is the phrase, and what is mirrored stays so", () => {
    holds("mirror twice", 300, patterns, (pattern) => {
      expect(keysOf(exchanged(exchanged(pattern))).same).toBe(keysOf(pattern).same);
      expect(keysOf(exchanged(pattern)).same).toBe(keysOf(pattern).mirror);
      expect(isMirrored(exchanged(pattern))).toBe(isMirrored(pattern));
    });
  });

  it("a phrase that is written from another point of both cycles at once is the same phrase", () => {
    const equalCycles = fc.record({
      id: fc.constant("phrase"),
      record: fc.record({
        step: fc.constant("1/16"),
        strokes: fc.array(fc.record({ move: fc.constantFrom("forward", "back", "hold") }), {
          minLength: 1,
          maxLength: 6,
        }),
      }),
      fader: fc.record({
        step: fc.constant("1/16"),
        cells: fc.array(fc.record({ fader: fc.constantFrom("open", "closed", "click") }), {
          minLength: 1,
          maxLength: 6,
        }),
      }),
      by: fc.nat({ max: 40 }),
    }) as fc.Arbitrary<Pattern & { by: number }>;
    holds("rotation", 300, equalCycles, ({ by, ...pattern }) => {
      expect(keysOf(rotated(pattern, by, by)).same).toBe(keysOf(pattern).same);
    });
  });

  it("calls a transform what is one stroke by stroke over the combined length", () => {
    let transforms = 0;
    const fine = patterns.map((one) => ({ ...one, fader: { ...one.fader, step: "1/96" } }));
    holds("transform", 1000, fine, (pattern) => {
      const heard = (unrolled(pattern) as UnrolledMove[]).filter(
        ({ direction, openings }) => direction !== "hold" && openings > 0,
      );
      const is =
        heard.length > 0 &&
        heard.every(({ opensOpen, endsOpen, openings }) => !opensOpen && !endsOpen && openings >= 2);
      transforms += is ? 1 : 0;
      expect(tradeNames(pattern).includes("transform")).toBe(is);
    });
    expect(transforms).toBeGreaterThan(0);
  });

  it("a name does not change with rotation, nor with the step", () => {
    // Few kinds and short cycles, so that names come up; a transform takes openings shorter than its stroke.
    const nameable = fc.record({
      id: fc.constant("phrase"),
      record: fc.record({
        step: fc.constantFrom("1/16", "1/8", "1/4"),
        strokes: fc.array(fc.record({ move: fc.constantFrom("forward", "back") }), {
          minLength: 1,
          maxLength: 4,
        }),
      }),
      fader: fc.record({
        step: fc.constant("1/32"),
        cells: fc.oneof(
          fc.constantFrom("o", "oxxo", "xoxoxxxx").map((letters) =>
            [...letters].map((letter) => ({
              fader: letter === "o" ? ("open" as const) : ("closed" as const),
            })),
          ),
          fc.array(fc.record({ fader: fc.constantFrom("open", "closed") }), { minLength: 2, maxLength: 8 }),
        ),
      }),
      by: fc.nat({ max: 8 }),
      step: fc.constantFrom(1, 3, 5),
    }) as fc.Arbitrary<Pattern & { by: number; step: number }>;
    const seen = new Set<string>();
    holds("names", 2000, nameable, ({ by, step, ...pattern }) => {
      const names = tradeNames(pattern);
      for (const name of names) seen.add(name);
      // Both hands by so many of the record's steps, each two, four or eight of the fader's.
      const cellsAStep = 32 / Number(pattern.record.step.slice(2));
      const cells = pattern.fader.cells.length === 1 ? 0 : by * cellsAStep;
      expect(tradeNames(rotated(pattern, by, cells))).toEqual(names);
      const scaled = (text: string) => `1/${Number(text.slice(2)) * step}`;
      expect(
        tradeNames({
          ...pattern,
          record: { ...pattern.record, step: scaled(pattern.record.step) },
          fader: { ...pattern.fader, step: scaled(pattern.fader.step) },
        }),
      ).toEqual(names);
    });
    expect([...seen].sort()).toEqual(["baby", "chirp", "tear", "transform"]);
  });
});
