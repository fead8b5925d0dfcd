/**
 * Cycles as one line of plain words, read and written: "forward, back 90, hold 2" and "click, open 2, pulse 3 times".
 *
 * Items are parted by commas. A bare number after forward or back is degrees of travel; after anything else, steps.
 * What can follow, in any order: "90 degrees", "3 hours", "2 steps", "3/2 steps", "even", "released", "eased",
 * "4 times", "closed for 1/8", "open for 1/4".
 */
import type { Cell, Stroke } from "../../schemas/routine.ts";
import { asLength, readFraction } from "../parts/music.ts";

/** `from` and `to`: the characters of the text that the trouble is about. */
export type Read<Item> =
  | { readonly items: readonly Item[] }
  | { readonly trouble: string; readonly from: number; readonly to: number };

const NUMBER = String.raw`\d+(?:\.\d+)?(?:\s*\/\s*\d+)?`;
const PHRASE = new RegExp(
  String.raw`^(?:(closed|open) for (${NUMBER})(?: steps?)?|(${NUMBER})\s*(degrees?|°|hours?|steps?|times|time)?|(eased|even|released))(?:\s+|$)`,
);

type Words = {
  travel?: number;
  length?: number | string;
  times?: number;
  shape?: Stroke["shape"];
  closedFor?: number | string;
  openFor?: number | string;
};

function readWords(text: string, bare: "travel" | "length"): Words | string {
  const words: Words = {};
  let rest = text.trim();
  while (rest !== "") {
    const match = PHRASE.exec(rest);
    if (match === null) return `“${rest}” is not understood`;
    const [whole, gate, gateFor, figure, unit, shape] = match;
    rest = rest.slice(whole.length).trim();
    if (shape !== undefined) words.shape = shape as Stroke["shape"];
    else if (gate !== undefined) {
      const length = readFraction(gateFor!);
      if (length === null || length.n === 0n) return `“${gateFor}” is no length`;
      words[gate === "closed" ? "closedFor" : "openFor"] = asLength(length);
    } else {
      const kind =
        unit === undefined ? bare : /^step/.test(unit) ? "length" : /^time/.test(unit) ? "times" : "travel";
      if (kind === "length") {
        const length = readFraction(figure!);
        if (length === null || length.n === 0n) return `“${figure}” is no length in steps`;
        words.length = asLength(length);
      } else {
        const value = Number(figure);
        if (!(value > 0)) return `“${figure}” must be a number above 0`;
        if (kind === "times" && (!Number.isInteger(value) || value > 64))
          return `“${figure} times” must be a whole number up to 64`;
        words[kind] = kind === "travel" && unit !== undefined && /^hour/.test(unit) ? value * 30 : value;
      }
    }
  }
  return words;
}

const place = (index: number): string => {
  const number = index + 1;
  const teen = number % 100 >= 11 && number % 100 <= 13;
  return `${number}${teen ? "th" : (["th", "st", "nd", "rd"][number % 10] ?? "th")}`;
};

function readItems<Item>(
  text: string,
  kinds: readonly string[],
  make: (kind: string, words: Words) => Item | string,
  bare: (kind: string) => "travel" | "length",
): Read<Item> {
  const items: Item[] = [];
  let from = 0;
  for (const [index, part] of text.toLowerCase().split(",").entries()) {
    const [kind = "", ...rest] = part.trim().split(/\s+/);
    const to = from + part.length;
    const wrong = (why: string) => ({ trouble: `In ${place(index)} place: ${why}.`, from, to });
    if (kind === "") return wrong(`there is nothing. Write one of ${kinds.join(", ")}`);
    if (!kinds.includes(kind)) return wrong(`“${kind}” is none of ${kinds.join(", ")}`);
    const words = readWords(rest.join(" "), bare(kind));
    const item = typeof words === "string" ? words : make(kind, words);
    if (typeof item === "string") return wrong(item);
    items.push(item);
    from = to + 1;
  }
  return { items };
}

const given = <Value extends object>(value: Value): Value =>
  Object.fromEntries(Object.entries(value).filter(([, one]) => one !== undefined)) as Value;

export const readStrokes = (text: string): Read<Stroke> =>
  readItems<Stroke>(
    text,
    ["forward", "back", "hold"],
    (kind, words) => {
      if (words.closedFor !== undefined || words.openFor !== undefined)
        return "a stroke is neither closed nor open: that is the fader hand’s";
      if (kind === "hold" && (words.travel ?? words.shape ?? words.times) !== undefined)
        return "a hold has a length and nothing else";
      if (words.shape === "released" && kind === "back")
        return "a released stroke only goes forward: the platter turns it";
      if (words.shape === "released" && (words.travel ?? words.times) !== undefined)
        return "a released stroke goes as far as the platter takes it: it has no travel and is not split";
      return given({
        move: kind as Stroke["move"],
        length: words.length,
        travel: words.travel,
        shape: words.shape,
        times: words.times,
      }) as Stroke;
    },
    (kind) => (kind === "hold" ? "length" : "travel"),
  );

export const readCells = (text: string): Read<Cell> =>
  readItems<Cell>(
    text,
    ["open", "closed", "click", "pulse"],
    (kind, words) => {
      if (words.travel !== undefined || words.shape !== undefined)
        return "a cell has no travel and no shape: those are the record hand’s";
      const plain = kind === "open" || kind === "closed";
      if (plain && words.times !== undefined) return "only a click or a pulse is split into several";
      if (kind !== "click" && words.closedFor !== undefined) return "only a click is closed for a while";
      if (kind !== "pulse" && words.openFor !== undefined) return "only a pulse is open for a while";
      return given({
        fader: kind as Cell["fader"],
        length: words.length,
        times: words.times,
        closedFor: words.closedFor,
        openFor: words.openFor,
      }) as Cell;
    },
    () => "length",
  );

const lengthWords = (length: number | string | undefined): string =>
  length === undefined || length === 1 ? "" : ` ${length} steps`;
const timesWords = (times: number | undefined): string =>
  times === undefined || times === 1 ? "" : ` ${times} times`;

const strokeText = ({ move, length, travel, shape, times }: Stroke): string =>
  `${move}${travel === undefined ? "" : ` ${travel}`}${lengthWords(length)}${shape === undefined || shape === "eased" ? "" : ` ${shape}`}${timesWords(times)}`;
const cellText = ({ fader, length, times, closedFor, openFor }: Cell): string =>
  `${fader}${lengthWords(length)}${timesWords(times)}${closedFor === undefined ? "" : ` closed for ${closedFor}`}${openFor === undefined ? "" : ` open for ${openFor}`}`;
export const itemText = (item: Stroke | Cell): string => ("move" in item ? strokeText(item) : cellText(item));
export const strokesText = (strokes: readonly Stroke[]): string => strokes.map(strokeText).join(", ");
export const cellsText = (cells: readonly Cell[]): string => cells.map(cellText).join(", ");
