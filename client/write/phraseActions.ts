/** The keys of a phrase: arrows go over the strokes and cells, one key makes or puts in a stroke or cell. */
import type { FaderState, Move } from "../../schemas/routine.ts";
import { type Fraction, fraction } from "../../schemas/fraction.ts";
import type { Action } from "../state/actions.ts";
import {
  again,
  gate,
  kind,
  longer,
  nextShape,
  otherHand,
  put,
  shove,
  step,
  stepsLong,
  takeOut,
  times,
  timesLength,
  travel,
} from "./editInHand.ts";
import { inHand, keep, patternNow } from "./inHand.ts";
import type { Pattern } from "../../schemas/routine.ts";
import type { Hand } from "./phrase.ts";
import { mirrored, shifted, stretched, turned, twice } from "./wholeHand.ts";

/** The key of each kind of stroke and cell. */
export const KIND_KEYS: readonly (readonly [Move | FaderState, string])[] = [
  ["forward", "f"],
  ["back", "b"],
  ["hold", "h"],
  ["open", "o"],
  ["closed", "n"],
  ["click", "c"],
  ["pulse", "p"],
];

const whole = (words: string, what: (pattern: Pattern, hand: Hand) => Pattern) => (): void => {
  const pattern = patternNow();
  if (pattern === null) return;
  const after = what(pattern, inHand.value.hand);
  if (after !== pattern) keep(after, words);
};
const both = (factor: Fraction) => (pattern: Pattern) =>
  stretched(stretched(pattern, "record", factor), "fader", factor);
const HALF = fraction(1, 2);
const TWO = fraction(2);

const ITEM: readonly Action[] = [
  { id: "w-left", name: "To the stroke or cell before", keys: ["ArrowLeft"], run: step(-1) },
  { id: "w-right", name: "To the next stroke or cell", keys: ["ArrowRight"], run: step(1) },
  { id: "w-hand", name: "To the other hand", keys: ["ArrowUp", "ArrowDown"], run: otherHand },
  ...KIND_KEYS.map(([name, key]) => ({
    id: `w-${name}`,
    name: `Make it ${name}; the next letter goes on after it`,
    keys: [key],
    run: kind(name),
  })),
  ...KIND_KEYS.map(([name, key]) => ({
    id: `w-put-${name}`,
    name: `Put in ${name} after it`,
    keys: [`Shift+${key}`],
    run: put(name),
  })),
  { id: "w-copy", name: "Put in another like it", keys: ["Enter"], run: again },
  { id: "w-remove", name: "Take it out", keys: ["Delete"], run: takeOut(0) },
  { id: "w-remove-back", name: "Take it out, and go back one", keys: ["Backspace"], run: takeOut(-1) },
  { id: "w-later", name: "Move it later in the cycle", keys: ["j"], run: shove(1) },
  { id: "w-earlier", name: "Move it earlier in the cycle", keys: ["Shift+j"], run: shove(-1) },
  ...[1, 2, 3, 4, 5, 6, 7, 8, 9].map((steps) => ({
    id: `w-long-${steps}`,
    name: `Make it ${steps === 1 ? "1 step" : `${steps} steps`} long`,
    keys: [`${steps}`],
    run: stepsLong(steps),
  })),
  { id: "w-longer", name: "A step longer", keys: ["+", "="], run: longer(1) },
  { id: "w-shorter", name: "A step shorter", keys: ["-"], run: longer(-1) },
  { id: "w-half", name: "Half as long", keys: ["/"], run: timesLength(HALF, "Make it half as long") },
  { id: "w-double", name: "Twice as long", keys: ["*"], run: timesLength(TWO, "Make it twice as long") },
  { id: "w-more", name: "15 degrees more travel", keys: ["."], run: travel(15) },
  { id: "w-less", name: "15 degrees less travel", keys: [","], run: travel(-15) },
  { id: "w-more-fine", name: "1 degree more travel", keys: [">"], run: travel(1) },
  { id: "w-less-fine", name: "1 degree less travel", keys: ["<"], run: travel(-1) },
  { id: "w-shape", name: "The next shape: eased, even, released", keys: ["e"], run: nextShape },
  { id: "w-split", name: "Split once more", keys: ["x"], run: times(1) },
  { id: "w-join", name: "Split once less", keys: ["Shift+x"], run: times(-1) },
  { id: "w-gate", name: "Click closed longer, pulse open longer", keys: ["g"], run: gate(1) },
  { id: "w-gate-less", name: "Click closed shorter, pulse open shorter", keys: ["Shift+g"], run: gate(-1) },
];

/** Of a whole hand, or both: they stand as buttons too. */
export const HAND_ACTIONS: readonly Action[] = [
  {
    id: "w-turn",
    name: "Start this hand one later in its cycle",
    keys: ["r"],
    run: whole("Turn the cycle", (pattern, hand) => turned(pattern, hand, 1)),
  },
  {
    id: "w-turn-back",
    name: "Start this hand one earlier in its cycle",
    keys: ["Shift+r"],
    run: whole("Turn the cycle back", (pattern, hand) => turned(pattern, hand, -1)),
  },
  {
    id: "w-shift-later",
    name: "Shift the fader a step later against the record",
    keys: ["Shift+ArrowRight"],
    run: whole("Shift the fader later", (pattern) => shifted(pattern, fraction(1))),
  },
  {
    id: "w-shift-earlier",
    name: "Shift the fader a step earlier against the record",
    keys: ["Shift+ArrowLeft"],
    run: whole("Shift the fader earlier", (pattern) => shifted(pattern, fraction(-1))),
  },
  {
    id: "w-mirror",
    name: "Exchange forward and back",
    keys: ["v"],
    run: whole("Exchange forward and back", mirrored),
  },
  {
    id: "w-fast",
    name: "This hand twice as fast",
    keys: ["]"],
    run: whole("Play one hand twice as fast", (pattern, hand) => stretched(pattern, hand, HALF)),
  },
  {
    id: "w-slow",
    name: "This hand half as fast",
    keys: ["["],
    run: whole("Play one hand half as fast", (pattern, hand) => stretched(pattern, hand, TWO)),
  },
  {
    id: "w-both-fast",
    name: "Both hands twice as fast",
    keys: ["}"],
    run: whole("Play both hands twice as fast", both(HALF)),
  },
  {
    id: "w-both-slow",
    name: "Both hands half as fast",
    keys: ["{"],
    run: whole("Play both hands half as fast", both(TWO)),
  },
  {
    id: "w-twice",
    name: "Write this hand’s cycle out twice",
    keys: ["d"],
    run: whole("Write the cycle out twice", (pattern, hand) => twice(pattern, hand)),
  },
];

export const PHRASE_ACTIONS: readonly Action[] = [...ITEM, ...HAND_ACTIONS];
