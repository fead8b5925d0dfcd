/**
 * What can be compiled may still be too much for pages: what they are told of many sections is made as one text, beside
 * all that it is made from. The program, with every other open routine, would die of it.
 */
import type { Problem } from "../../schemas/problem.ts";
import type { Pattern, Placement, Routine, Section } from "../../schemas/routine.ts";
import { called } from "../routine/called.ts";
import { pointer, problem } from "../routine/catalogue.ts";
import { rememberedWith } from "../routine/finding.ts";
import { roomBySection } from "../routine/room.ts";

/** Sections that pages are told of at a time, and the most bytes that what is laid out of them may take. */
const AT_A_TIME = 32;
const MOST_TOLD = 512 * 1024 ** 2;

/** All of a section that what is laid out of it depends on, and its name. */
const layingOf = ({ id, name, bars, meter, beat, placements }: Section): readonly unknown[] => [
  id,
  name,
  bars,
  meter,
  beat,
  placements,
];

const NONE: ReadonlySet<Placement> = new Set();
const inWhole = rememberedWith<readonly Pattern[]>();

/**
 * What keeps pages from being told of a routine, at the first section of too many; or null. Not looked for again as long
 * as everything lies as it did.
 */
export function tooMuch(routine: Routine): Problem | null {
  const uses = [...routine.beats, ...routine.sections.flatMap(layingOf)];
  const [found = null] = inWhole(routine.patterns, uses, () => {
    const problem = tooMuchWithout(routine, NONE);
    return problem === null ? [] : [problem];
  });
  return found;
}

/** The same of a part. @param without placements that are left out */
export function tooMuchWithout(routine: Routine, without: ReadonlySet<Placement>): Problem | null {
  const rooms = roomBySection(routine, without);
  const from = rooms.findIndex((_, index) => {
    const together = rooms.slice(index, index + AT_A_TIME).reduce((sum, room) => sum + room, 0);
    return together > MOST_TOLD;
  });
  const section = routine.sections[from];
  if (section === undefined) return null;
  return problem(
    "out-of-range",
    pointer("sections", from),
    `${called(section)}: from here on there are more strokes, openings, sounds and hits in ${AT_A_TIME} sections than a page can show. Shorten them, or split less finely; the command line still takes the file.`,
  );
}
