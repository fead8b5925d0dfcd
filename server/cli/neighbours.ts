/** `countercut neighbours`: the phrases one change away from one of the routine. */
import type { Neighbour, Neighbours } from "../../schemas/neighbours.ts";
import { neighboursOf } from "../facts/neighbours.ts";
import { parseMeter } from "../time/meter.ts";
import { type Command, DONE, print, theFile, UsageError, wholeNumber } from "./command.ts";
import { readRoutineFile } from "./files.ts";
import { theNamed } from "./named.ts";
import { table } from "./table.ts";

const LISTED = 20;
const MOST_LISTED = 10_000;
const HEADING = ["change", "steps", "comes round", "difficulty", "harder by"];

const figure = (value: number | null): string => (value === null ? "–" : value.toFixed(3));
const round = ({ comeRoundRepeats, comeRoundBars }: Neighbours["here"]): string =>
  `${comeRoundRepeats} in ${comeRoundBars}`;

function rowOf(here: Neighbours["here"], one: Neighbour): string[] {
  const by = one.difficulty === null || here.difficulty === null ? null : one.difficulty - here.difficulty;
  const signed = by === null ? "–" : `${by > 0 ? "+" : ""}${by.toFixed(3)}`;
  return [one.says, one.combinedSteps, round(one), figure(one.difficulty), signed];
}

export const command: Command = {
  name: "neighbours",
  usage: "FILE --pattern ID [--meter 4/4] [--top K] [--json]",
  help: `
Lists every phrase that differs from a pattern of the routine by one change (one stroke, one cell, one step longer or
shorter, the hands shifted against each other), the easiest first, with what the change does to length, come-round
and difficulty: a way to walk from what one can play to what one cannot play yet.

  --pattern ID   the pattern: its id, or its name
  --meter 4/4    the bar that come-round is counted in
  --top K        how many to list: ${LISTED} in the table, all with --json
  --json         { "here": { … }, "neighbours": [ … ] }, each with its change, its pattern and its figures`,
  options: {
    pattern: { type: "string" },
    meter: { type: "string" },
    top: { type: "string" },
    json: { type: "boolean" },
  },
  async run(args, io) {
    const { values } = args;
    const routine = await readRoutineFile(theFile(args, "neighbours"), io);
    if (typeof routine === "number") return routine;
    const meter = parseMeter(String(values.meter ?? "4/4"));
    if (meter === null)
      throw new UsageError(
        `--meter takes a metre such as 7/8, its upper number 1 to 64, its lower 1 to 32 by doubling, not "${values.meter}".`,
      );
    const json = values.json === true;
    const top = wholeNumber(args, "top", 0, MOST_LISTED) ?? (json ? MOST_LISTED : LISTED);
    const { here, neighbours } = neighboursOf(theNamed("pattern", routine.patterns, values.pattern), meter);
    const first = neighbours.slice(0, top);
    if (json) {
      await print(io.stdout, `${JSON.stringify({ here, neighbours: first })}\n`);
      return DONE;
    }
    const now = ["as it is", here.combinedSteps, round(here), figure(here.difficulty), ""];
    await print(io.stdout, `${table([HEADING, now, ...first.map((one) => rowOf(here, one))])}\n`);
    await print(io.stdout, "Comes round: repeats in bars.\n");
    if (first.length < neighbours.length)
      await print(io.stdout, `… ${first.length} of ${neighbours.length}; --top lists more.\n`);
    return DONE;
  },
};
