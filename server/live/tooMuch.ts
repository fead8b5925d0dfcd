/**
 * What can be compiled may still be too much for pages: what they are told of many sections is made as one text, beside
 * all that it is made from. The program, with every other open routine, would die of it.
 */
import type { Problem } from "../../schemas/problem.ts";
import type { Placement, Routine } from "../../schemas/routine.ts";
import { called } from "../routine/called.ts";
import { pointer, problem } from "../routine/catalogue.ts";
import { roomBySection } from "../routine/room.ts";

/** Sections that pages are told of at a time, and the most bytes that what is laid out of them may take. */
const AT_A_TIME = 32;
const MOST_TOLD = 512 * 1024 ** 2;

const NONE: ReadonlySet<Placement> = new Set();

/** What keeps pages from being told of a routine, at the first section of too many; or null. @param without placements that are left out */
export function tooMuch(routine: Routine, without: ReadonlySet<Placement> = NONE): Problem | null {
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
