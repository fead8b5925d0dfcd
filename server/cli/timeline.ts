/** `countercut timeline`: what is compiled, as JSON. */
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { compile } from "../routine/compile.ts";
import { type Command, DONE, print, theFile } from "./command.ts";
import { readRoutineFile } from "./files.ts";

/** One section of the printed timeline; times are units from the start of the routine. */
function sectionLine({
  start,
  end,
  startSeconds,
  endSeconds,
  performance,
}: ReturnType<typeof compile>["sections"][number]) {
  return {
    id: performance.id,
    start,
    end,
    startSeconds,
    endSeconds,
    sounds: performance.sounds.map(
      ({ start: from, end: to, direction, onset, from: a, to: b, placement }) => ({
        start: start + from,
        end: start + to,
        direction,
        onset,
        from: a,
        to: b,
        placement,
      }),
    ),
    strokes: performance.strokes.map(({ start: from, end: to, direction, from: a, to: b, placement }) => ({
      start: start + from,
      end: start + to,
      direction,
      from: a,
      to: b,
      placement,
    })),
    openings: performance.openings.map(({ start: from, end: to, placement }) => ({
      start: start + from,
      end: start + to,
      placement,
    })),
    beat: performance.beat.map(({ at, key, velocity }) => ({ at: start + at, key, velocity })),
  };
}

/**
 * What is printed; its form is part of the routine file's contract. A section at a time, so that a long routine is
 * never one string.
 */
export function* timelineText(routine: Routine): Generator<string> {
  yield `{"unitsPerQuarter":${UNITS_PER_QUARTER},"sections":[`;
  for (const [index, section] of compile(routine).sections.entries())
    yield `${index === 0 ? "" : ","}\n${JSON.stringify(sectionLine(section))}`;
  yield "\n]}\n";
}

export const command: Command = {
  name: "timeline",
  usage: "FILE",
  help: `
Prints the compiled timeline of a routine as JSON: for each section its sounds, strokes, openings of the fader
and hits of the beat. Times are whole numbers of units from the start of the routine; an end is not included.`,
  options: {},
  async run(args, io) {
    const routine = await readRoutineFile(theFile(args, "timeline"), io);
    if (typeof routine === "number") return routine;
    for (const text of timelineText(routine)) await print(io.stdout, text);
    return DONE;
  },
};
