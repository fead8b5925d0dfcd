/** The limits of the hands by their names, each with the unit of its figure. */
import type { HandFigure } from "../../schemas/facts.ts";

export const LIMIT_WORDS: Readonly<Record<HandFigure["limit"], readonly [name: string, unit: string]>> = {
  clicks: ["clicks", " a second"],
  splitClicks: ["clicks in a split cell", " a second"],
  strokes: ["strokes", " a second"],
  splitStrokes: ["moves in a split stroke", " a second"],
  closedMs: ["shortest closed time", " ms"],
  openMs: ["shortest open time", " ms"],
  speed: ["record speed", " times the platter’s"],
};
