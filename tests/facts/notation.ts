/** Patterns in a line, for tests: a letter a stroke (F forward, B back, H hold) and a cell (c click, o open, x closed,
 *  p pulse), each one step unless a number follows; `F2 B'90` is a forward of two steps and a back of 90 degrees. */
import type { Cell, FaderState, Move, Pattern, Shape, Stroke } from "../../schemas/routine.ts";

const MOVES: Readonly<Record<string, Move>> = { F: "forward", B: "back", H: "hold", R: "forward" };
const CELLS: Readonly<Record<string, FaderState>> = { c: "click", o: "open", x: "closed", p: "pulse" };
const WORD = /^([A-Za-z])([\d/]+)?(?:'([\d.]+))?(?:\*(\d+))?(~)?$/;

const length = (text: string | undefined): { length?: number | string } =>
  text === undefined ? {} : { length: text.includes("/") ? text : Number(text) };
const times = (text: string | undefined): { times?: number } =>
  text === undefined ? {} : { times: Number(text) };

/** "F2'90*3~": a letter, steps, travel after ', parts after *, ~ for even; R is a released forward. */
export function stroke(word: string): Stroke {
  const [, letter = "", steps, travel, parts, even] = WORD.exec(word) ?? [];
  const shape: { shape?: Shape } =
    letter === "R" ? { shape: "released" } : even === "~" ? { shape: "even" } : {};
  return {
    move: MOVES[letter] as Move,
    ...length(steps),
    ...(travel === undefined ? {} : { travel: Number(travel) }),
    ...shape,
    ...times(parts),
  };
}

export function cell(word: string): Cell {
  const [, letter = "", steps, , parts] = WORD.exec(word) ?? [];
  return { fader: CELLS[letter] as FaderState, ...length(steps), ...times(parts) };
}

export function pattern(
  strokes: string,
  cells: string,
  more: Partial<Pattern> & { recordStep?: string; faderStep?: string } = {},
): Pattern {
  const { recordStep = "1/16", faderStep = "1/16", ...rest } = more;
  return {
    id: "phrase",
    ...rest,
    record: { step: recordStep, strokes: strokes.split(" ").map(stroke) },
    fader: { step: faderStep, cells: cells.split(" ").map(cell) },
  };
}
