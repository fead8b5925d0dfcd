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

/** What `countercut timeline` prints; the form is part of the routine file's contract. */
export const timelineJson = (routine: Routine) => ({
  unitsPerQuarter: UNITS_PER_QUARTER,
  sections: compile(routine).sections.map(sectionLine),
});

export const command: Command = {
  name: "timeline",
  summary: "print the compiled timeline as JSON",
  usage: "FILE",
  help: `
Prints the compiled timeline of a routine as JSON: for each section its sounds, strokes, openings of the fader
and hits of the beat. Times are whole numbers of units from the start of the routine; an end is not included.`,
  options: {},
  async run(args, io) {
    const routine = await readRoutineFile(theFile(args, "timeline"), io);
    if (typeof routine === "number") return routine;
    const { sections } = compile(routine);
    // A section at a time, so that a long routine is never one string.
    await print(io.stdout, `{"unitsPerQuarter":${UNITS_PER_QUARTER},"sections":[`);
    for (const [index, section] of sections.entries()) {
      await print(io.stdout, `${index === 0 ? "" : ","}\n${JSON.stringify(sectionLine(section))}`);
    }
    await print(io.stdout, "\n]}\n");
    return DONE;
  },
};
