/**
 * What can be compiled may still be too much for pages: what they are told of many sections is made as one text, beside
 * all that it is made from. The program, with every other open routine, would die of it.
 */
import type { Problem } from "../../schemas/problem.ts";
import type { Placement, Routine, Section } from "../../schemas/routine.ts";
import { called } from "../routine/called.ts";
import { pointer, problem } from "../routine/catalogue.ts";
import { roomBySection } from "../routine/room.ts";

/** Sections of a long routine that are worked out at a time, so that others get their turn: some 30 ms when cold. */
export const AT_A_TIME = 32;
/** Bytes that what is laid out of so many may take. */
const MOST_TOLD = 512 * 1024 ** 2;

const NONE: ReadonlySet<Placement> = new Set();

/** Whether as much is laid out of it: all that this depends on is the same. */
const liesAs = (one: Section, other: Section | undefined): boolean =>
  one === other ||
  (one.bars === other?.bars &&
    one.meter === other.meter &&
    one.beat === other.beat &&
    one.placements === other.placements);

/**
 * What keeps pages from being told of a routine, at the first section of too many; or null.
 * @param before one that pages can be told of; where all lies as it does there, nothing is counted
 */
export function tooMuch(routine: Routine, before: Routine | null = null): Problem | null {
  const { patterns, beats, sections } = routine;
  if (
    patterns === before?.patterns &&
    beats === before.beats &&
    sections.length === before.sections.length &&
    sections.every((section, index) => liesAs(section, before.sections[index]))
  )
    return null;
  return tooMuchWithout(routine, NONE);
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
