/**
 * Cycles as one line of plain words, read and written: "forward, back 90, hold 2" and "click, open 2, pulse 3 times".
 *
 * Items are parted by commas. A bare number after forward or back is degrees of travel; after anything else, steps.
 * What can follow, in any order: "90 degrees", "3 hours", "2 steps", "3/2 steps", "even", "released", "eased",
 * "4 times", "shut for 1/8", "open for 1/4".
 */
import type { Cell, Stroke } from "../../schemas/routine.ts";
import { asLength, readFraction } from "../parts/music.ts";

export type Read<Item> = { readonly items: readonly Item[] } | { readonly trouble: string };

const NUMBER = String.raw`\d+(?:\.\d+)?(?:\s*\/\s*\d+)?`;
const PHRASE = new RegExp(
  String.raw`^(?:(shut|open) for (${NUMBER})(?: steps?)?|(${NUMBER})\s*(degrees?|°|hours?|steps?|times|time)?|(eased|even|released))(?:\s+|$)`,
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
      words[gate === "shut" ? "closedFor" : "openFor"] = asLength(length);
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
        words[kind] = kind === "travel" && unit !== undefined && /^hour/.test(unit) ? value * 30 : value;
      }
    }
  }
  return words;
}

function readItems<Item>(
  text: string,
  kinds: readonly string[],
  make: (kind: string, words: Words) => Item | string,
  bare: (kind: string) => "travel" | "length",
): Read<Item> {
  const items: Item[] = [];
  for (const [index, part] of text.toLowerCase().split(",").entries()) {
    const [kind = "", ...rest] = part.trim().split(/\s+/);
    const where = `In ${index + 1}${["st", "nd", "rd"][index] ?? "th"} place: `;
    if (!kinds.includes(kind)) return { trouble: `${where}“${kind}” is none of ${kinds.join(", ")}.` };
    const words = readWords(rest.join(" "), bare(kind));
    const item = typeof words === "string" ? words : make(kind, words);
    if (typeof item === "string") return { trouble: `${where}${item}.` };
    items.push(item);
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
        return "a stroke is neither shut nor open: that is the fader hand's";
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
        return "a cell has no travel and no shape: those are the record hand's";
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

export const strokesText = (strokes: readonly Stroke[]): string =>
  strokes
    .map(
      ({ move, length, travel, shape, times }) =>
        `${move}${travel === undefined ? "" : ` ${travel}`}${lengthWords(length)}${shape === undefined || shape === "eased" ? "" : ` ${shape}`}${timesWords(times)}`,
    )
    .join(", ");
export const cellsText = (cells: readonly Cell[]): string =>
  cells
    .map(
      ({ fader, length, times, closedFor, openFor }) =>
        `${fader}${lengthWords(length)}${timesWords(times)}${closedFor === undefined ? "" : ` shut for ${closedFor}`}${openFor === undefined ? "" : ` open for ${openFor}`}`,
    )
    .join(", ");
