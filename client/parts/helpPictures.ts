/**
 * Small pictures for the terms, written down by hand as what stands in a bar: strokes, openings and groups in steps.
 * sketchRows.ts makes bar rows of them, so that a term looks as it does in a phrase. Long, since it is one list, to be
 * read beside the terms in Help.tsx.
 */
import type { Term } from "./Help.tsx";

type Stroke = readonly [from: number, to: number, move: "forward" | "back" | "hold", degrees?: number];
export interface Sketch {
  /** Steps in a bar, and bars. */
  readonly bar: number;
  readonly bars?: number;
  readonly strokes: readonly Stroke[];
  readonly open: readonly (readonly [from: number, to: number])[];
  /** Steps in the groups of each hand; left out: not bracketed. */
  readonly recordGroup?: number;
  readonly faderGroup?: number;
  /** Of a second player, at the same time. */
  readonly second?: Pick<Sketch, "strokes" | "open">;
  /** Steps of the beat's low and high hits in a bar, and the bars in which it rests. */
  readonly beat?: readonly [low: readonly number[], high: readonly number[]];
  readonly rests?: readonly number[];
  /** A dashed line at a step. */
  readonly line?: number;
  /** What is to be seen. */
  readonly says: string;
}

/** Over and over, to the end of `steps`. */
const round = (steps: number, length: number, strokes: readonly Stroke[]): readonly Stroke[] =>
  Array.from({ length: Math.ceil(steps / length) }, (_, index) => index * length).flatMap((start) =>
    strokes
      .map(
        ([from, to, move, degrees = 45]): Stroke => [
          start + from,
          Math.min(steps, start + to),
          move,
          degrees,
        ],
      )
      .filter(([from]) => from < steps),
  );
const openRound = (steps: number, length: number, open: Sketch["open"]): Sketch["open"] =>
  Array.from({ length: Math.ceil(steps / length) }, (_, index) => index * length).flatMap((start) =>
    open
      .map(([from, to]) => [start + from, Math.min(steps, start + to)] as const)
      .filter(([from, to]) => from < to),
  );
const pair: readonly Stroke[] = [
  [0, 1, "forward"],
  [1, 2, "back"],
];
const double: readonly Stroke[] = pair.map(([from, to, move]) => [from, to, move, 90]);
const later = (steps: number, strokes: readonly Stroke[]): readonly Stroke[] =>
  strokes.map(([from, to, move, degrees = 45]) => [from + steps, to + steps, move, degrees]);
const baby = (steps: number): Sketch => ({
  bar: steps,
  strokes: round(steps, 4, [
    [0, 2, "forward", 90],
    [2, 4, "back", 90],
  ]),
  open: [[0, steps]],
  says: "forward and back, equally long and far, the fader open throughout: a baby",
});

export const SKETCHES: Readonly<Partial<Record<Term, Sketch>>> = {
  "combined length": {
    bar: 12,
    strokes: round(12, 4, [
      [0, 2, "forward"],
      [2, 3, "back"],
      [3, 4, "back"],
    ]),
    open: openRound(12, 3, [[0, 2]]),
    recordGroup: 4,
    faderGroup: 3,
    says: "groups of four over groups of three: both start together again after twelve steps",
  },
  "come-round": {
    bar: 8,
    bars: 3,
    strokes: round(24, 3, [
      [0, 1, "forward"],
      [1, 2, "back"],
      [2, 3, "hold"],
    ]),
    open: openRound(24, 3, [[0, 2.6]]),
    recordGroup: 3,
    says: "a group of three in bars of eight: its start steps sideways, and is back on the first beat after three bars",
  },
  mirror: {
    bar: 12,
    strokes: round(12, 2, pair),
    open: openRound(12, 3, [[0, 2.7]]),
    says: "the second half sounds as the first does, with forward and back exchanged",
  },
  drift: {
    bar: 6,
    strokes: round(6, 3, [
      [0, 1, "forward"],
      [1, 2, "forward"],
      [2, 3, "back"],
    ]),
    open: [[0, 6]],
    recordGroup: 3,
    says: "two strokes forward and one back: each round leaves the record one stroke further on",
  },
  "fader click": {
    bar: 4,
    strokes: [[0, 4, "forward", 180]],
    open: [
      [0, 1.75],
      [2, 4],
    ],
    says: "the fader is closed just before the third step and opens again exactly on it",
  },
  pulse: {
    bar: 4,
    strokes: [[0, 4, "forward", 180]],
    open: [
      [0, 0.5],
      [1, 1.5],
      [2, 2.5],
      [3, 3.5],
    ],
    says: "open at the start of each step, closed for the rest of it",
  },
  "open cell": {
    bar: 4,
    strokes: [[0, 4, "forward", 180]],
    open: [[0, 4]],
    says: "the fader is open: all of the stroke is heard",
  },
  "closed cell": {
    bar: 4,
    strokes: [[0, 4, "forward", 180]],
    open: [
      [0, 1],
      [3, 4],
    ],
    says: "the fader is closed from the second to the fourth step: there the stroke is not heard",
  },
  stroke: {
    bar: 4,
    strokes: [
      [0, 2, "forward", 90],
      [2, 4, "back", 90],
    ],
    open: [[0, 4]],
    says: "one stroke forward, one back; each block points the way the record moves",
  },
  hold: {
    bar: 4,
    strokes: [
      [0, 1, "forward"],
      [1, 3, "hold"],
      [3, 4, "back"],
    ],
    open: [[0, 4]],
    says: "between forward and back the record is held for two steps: nothing sounds",
  },
  travel: {
    bar: 4,
    strokes: [
      [0, 1, "forward", 30],
      [1, 2, "forward", 90],
      [2, 3, "forward", 180],
      [3, 4, "forward", 360],
    ],
    open: [[0, 4]],
    says: "more travel in the same time is a faster stroke, and a higher block",
  },
  times: {
    bar: 4,
    strokes: [
      [0, 2, "forward", 90],
      [2, 2.5, "back"],
      [2.5, 3, "forward"],
      [3, 3.5, "back"],
      [3.5, 4, "forward"],
    ],
    open: [[0, 4]],
    says: "the first stroke is whole, the second is split into four that alternate",
  },
  "length in steps": {
    bar: 6,
    strokes: [
      [0, 1, "forward"],
      [1, 3, "back"],
      [3, 6, "forward"],
    ],
    open: [[0, 6]],
    says: "strokes of one, two and three steps",
  },
  "closed for": {
    bar: 4,
    strokes: [[0, 4, "forward", 180]],
    open: [
      [0, 0.875],
      [1, 1.75],
      [2, 2.5],
      [3, 4],
    ],
    says: "three clicks, each closed twice as long before it as the one before",
  },
  "open for": {
    bar: 4,
    strokes: [[0, 4, "forward", 180]],
    open: [
      [0, 0.2],
      [1, 1.4],
      [2, 2.6],
      [3, 3.8],
    ],
    says: "four pulses, each open longer than the one before",
  },
  heard: {
    bar: 4,
    strokes: [
      [0, 2, "forward", 90],
      [2, 4, "back", 90],
    ],
    open: [
      [0, 1.5],
      [2, 3],
      [3.3, 4],
    ],
    says: "three sounds: one in the stroke forward, two in the stroke back",
  },
  names: baby(8),
  step: {
    bar: 4,
    strokes: round(4, 2, pair),
    open: openRound(4, 4 / 6, [[0, 0.4]]),
    says: "the record hand in sixteenths, the fader hand in sixteenth triplets",
  },
  join: {
    bar: 8,
    strokes: [
      [0, 2, "forward", 120],
      [2, 4, "forward", 120],
      [6, 8, "forward", 120],
    ],
    open: [
      [0, 4],
      [6, 8],
    ],
    says: "between two phrases the record has to be brought back, here in the time of two steps",
  },
  landing: {
    bar: 8,
    strokes: round(8, 4, [
      [0, 2, "forward", 90],
      [2, 4, "back", 90],
    ]),
    open: [[0, 8]],
    recordGroup: 4,
    says: "two whole groups of four fill the bar: the phrase lands",
  },
  playability: {
    bar: 4,
    strokes: [[0, 4, "forward", 180]],
    open: openRound(4, 0.25, [[0, 0.18]]),
    says: "sixteen clicks in four steps: the faster the tempo, the sooner a hand is at its limit",
  },
  shape: {
    bar: 6,
    strokes: [
      [0, 2, "forward", 90],
      [2, 4, "back", 90],
      [4, 6, "forward", 270],
    ],
    open: [[0, 6]],
    says: "the last stroke is released: the platter’s own speed carries it, and it goes as far as its time allows",
  },
  tapping: {
    bar: 8,
    strokes: [
      [0, 3, "forward", 90],
      [3, 6, "back", 90],
      [6, 8, "forward", 60],
    ],
    open: [[0, 8]],
    says: "three taps, on the first, fourth and seventh step: each stroke lasts until the next tap",
  },
  pull: {
    bar: 16,
    strokes: round(16, 4, [
      [0, 1, "hold"],
      [1, 2, "forward"],
      [2, 3, "back"],
      [3, 4, "hold"],
    ]),
    open: [[0, 16]],
    says: "every sound lies between the beats: it goes against the strong places of the bar",
  },
  difficulty: {
    bar: 10,
    strokes: round(10, 2, pair),
    open: openRound(10, 5, [
      [0, 0.75],
      [1, 2.5],
      [3, 4.75],
    ]),
    recordGroup: 2,
    faderGroup: 5,
    says: "two against five: the hands meet late, and the fader strikes into strokes",
  },
  neighbours: {
    bar: 4,
    bars: 2,
    strokes: [
      [0, 1, "forward"],
      [1, 2, "back"],
      [2, 3, "forward"],
      [3, 4, "back"],
      [4, 5, "forward"],
      [5, 6, "back"],
      [6, 7, "back"],
      [7, 8, "back"],
    ],
    open: [[0, 8]],
    says: "below, one stroke moves the other way: nothing else is another",
  },
  distance: {
    bar: 8,
    bars: 2,
    strokes: [
      ...round(8, 2, pair),
      [8, 9, "forward"],
      [9, 10, "back"],
      [10, 12, "hold"],
      [12, 13, "forward"],
      [13, 14, "back"],
      [14, 16, "hold"],
    ],
    open: [[0, 16]],
    says: "below, the hand does something else for half of the time",
  },
  pickup: {
    bar: 8,
    bars: 2,
    strokes: [
      [6, 7, "forward"],
      [7, 8, "back"],
      [8, 10, "forward", 90],
      [10, 12, "back", 90],
      [12, 14, "forward", 90],
      [14, 16, "back", 90],
    ],
    open: [[6, 16]],
    says: "two strokes before the bar line lead into the section’s first bar",
  },
  swing: {
    bar: 4,
    strokes: [
      [0, 1.33, "forward"],
      [1.33, 2, "back"],
      [2, 3.33, "forward"],
      [3.33, 4, "back"],
    ],
    open: [[0, 4]],
    says: "two thirds and one third: the first of each pair is longer than the second",
  },
  "pitch slider": {
    bar: 4,
    strokes: [
      [0, 2, "forward", 133],
      [2, 4, "forward", 200],
    ],
    open: [[0, 4]],
    says: "a released stroke, and the same with the platter turned half as fast again: faster and further",
  },
  cue: {
    bar: 8,
    strokes: [
      [0, 3, "forward", 135],
      [4, 7, "forward", 135],
    ],
    open: [
      [0, 3],
      [4, 7],
    ],
    says: "the same sound twice: both start from the cue",
  },
  words: {
    bar: 8,
    strokes: [...round(4, 2, pair)],
    open: [[0, 4]],
    says: "after four steps the hands do something else: nothing of the record is heard",
  },
  player: {
    bar: 8,
    strokes: round(8, 4, [
      [0, 2, "forward", 90],
      [2, 4, "back", 90],
    ]),
    open: [[0, 8]],
    second: { strokes: round(8, 3, [...pair, [2, 3, "hold"]]), open: openRound(8, 3, [[0, 1.8]]) },
    says: "two players at once, each with a record hand and a fader hand of its own",
  },
  "time limit": {
    bar: 8,
    bars: 2,
    strokes: round(16, 2, pair),
    open: [[0, 16]],
    line: 13,
    says: "what stands behind the dashed line comes after the time is up",
  },
  tempo: {
    bar: 8,
    bars: 2,
    strokes: [...round(8, 2, pair), ...later(8, round(8, 2, [...double]))],
    open: [[0, 16]],
    says: "the same strokes, below at twice the tempo: in half the time each is twice as fast, and its block higher",
  },
  "beat rests": {
    bar: 8,
    bars: 2,
    strokes: round(16, 4, [
      [0, 2, "forward", 90],
      [2, 4, "back", 90],
    ]),
    open: [[0, 16]],
    beat: [
      [0, 5],
      [2, 6],
    ],
    rests: [2],
    says: "the beat is silent in the second bar; the hands go on",
  },
  draft: {
    bar: 8,
    bars: 2,
    strokes: [
      [0, 2, "forward", 90],
      [2, 4, "back", 90],
      [8, 11, "forward", 90],
      [11, 13, "back", 90],
    ],
    open: [
      [0, 4],
      [8, 13],
    ],
    says: "above as it is kept, below as it looks while the end of the first stroke is dragged",
  },
  metre: {
    bar: 7,
    bars: 2,
    strokes: round(14, 2, pair),
    open: [[0, 14]],
    recordGroup: 2,
    says: "bars of seven steps: a group of two starts a step later in the second",
  },
  "what comes next": {
    bar: 8,
    strokes: [
      [0, 2, "forward", 120],
      [2, 4, "back", 60],
      [6, 8, "forward", 120],
    ],
    open: [
      [0, 4],
      [6, 8],
    ],
    says: "two phrases and the way between them: the way is practised first",
  },
};
