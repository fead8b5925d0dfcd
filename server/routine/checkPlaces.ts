/**
 * Errors of placements against each other and against the ends of sections: whatever needs to know where all of
 * them lie. In a section whose bars or metre are wrong nothing is judged, the others are.
 */

import { fraction, fractionText } from "../../schemas/fraction.ts";
import type { Problem } from "../../schemas/problem.ts";
import {
  isWords,
  MOST_BARS,
  MOST_PLACEMENTS,
  type Pattern,
  type PatternPlacement,
  type Placement,
  type Section,
} from "../../schemas/routine.ts";
import { type Units, UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { recordRound } from "../hands/record.ts";
import { partOfWhole } from "../time/fraction.ts";
import { parseMeter } from "../time/meter.ts";
import { barWords, called } from "./called.ts";
import { pointer, problem } from "./catalogue.ts";
import type { Parts } from "./check.ts";
import { patternProblems } from "./checkPattern.ts";
import { rememberedWith } from "./finding.ts";
import { durationOf, startOf } from "./layout.ts";
import { sampleOf } from "./lookups.ts";
import { handsRoom, MOST_ROOM } from "./room.ts";

/** A placement on the whole routine's line; units from the start of the first section. */
interface Lying {
  readonly section: number;
  readonly index: number;
  readonly placement: Placement;
  readonly pattern: Pattern | undefined;
  readonly start: number;
  /** Null where it cannot be known: so many cycles or steps of a pattern that is wrong or not there. */
  end: number | null;
  readonly sectionEnd: number;
}

/** A section of unknown length: so long that pickups of the next find room in it, so short that 500 can be counted. */
const UNKNOWN_BARS = MOST_BARS;
const UNKNOWN_BAR = (4 * UNITS_PER_QUARTER) as Units;

/** Patterns that are right in themselves, by id. */
function soundPatterns(parts: Parts): ReadonlyMap<string, Pattern> {
  const sound = new Map<string, Pattern>();
  for (const { value } of parts.patterns ?? []) {
    if (value === null || parts.unsure.has(value) || sound.has(value.id)) continue;
    if (patternProblems(value).length === 0) sound.set(value.id, value);
  }
  return sound;
}

/** All of a section that its placements' lying depends on, and its name. */
const lyingOf = ({ id, name, bars, meter, placements }: Section): readonly unknown[] => [
  id,
  name,
  bars,
  meter,
  placements,
];

const inPlaces = rememberedWith<readonly Pattern[]>();

/**
 * Where the shape is right everywhere, not looked for again as long as everything lies as it did.
 * @param taken bytes that the beats take of the room there is
 */
export function checkPlaces(parts: Parts, taken: number): readonly Problem[] {
  const { routine } = parts;
  if (routine === null) return findInPlaces(parts, taken);
  const uses = [routine.rig, taken, ...routine.sections.flatMap(lyingOf)];
  return inPlaces(routine.patterns, uses, () => findInPlaces(parts, taken));
}

function findInPlaces(parts: Parts, taken: number): Problem[] {
  if (parts.sections === null) return [];
  const sections = parts.sections.map(({ value }) => value);
  if (sections.includes(null)) return [];
  const named = (lying: Lying): string => {
    const section = sections[lying.section] as Section;
    return `${called(section)}, ${barWords(lying.placement.bar)}`;
  };
  const placeOf = ({ section, index }: Lying, ...field: string[]): string =>
    pointer("sections", section, "placements", index, ...field);

  const patterns = soundPatterns(parts);
  const problems: Problem[] = [];
  const players = new Map<number, Lying[]>();
  let sectionStart = 0;
  let count = 0;
  let earliest = 0;
  // A placement that is wrong itself may lie anywhere: what leans on it is not judged.
  let somewhere = false;
  for (const [sectionIndex, section] of (sections as Section[]).entries()) {
    const meter = parts.unsure.has(section) ? null : parseMeter(section.meter);
    const bar = meter?.bar ?? UNKNOWN_BAR;
    const sectionEnd = sectionStart + (meter === null ? UNKNOWN_BARS : section.bars) * bar;
    if (!Number.isSafeInteger(sectionEnd - earliest)) {
      return [
        ...problems,
        problem(
          "out-of-range",
          pointer("sections", sectionIndex, "bars"),
          `${called(section)}: here the routine becomes longer than the clock can count (7,438,988 quarter notes). Shorten it.`,
        ),
      ];
    }
    for (const [index, placement] of (parts.sections[sectionIndex]?.placements ?? []).entries()) {
      count++;
      const start = placement === null ? null : startOf(placement, bar);
      if (placement === null || start === null || meter === null || parts.unsure.has(placement)) {
        somewhere = true;
        continue;
      }
      const pattern = isWords(placement) ? undefined : patterns.get(placement.pattern);
      const lying: Lying = {
        section: sectionIndex,
        index,
        placement,
        pattern,
        start: sectionStart + start,
        end: 0,
        sectionEnd,
      };
      if (lying.start < 0 && sectionIndex > 0) {
        problems.push(
          problem(
            "out-of-range",
            placeOf(lying, "bar"),
            `${named(lying)}: this pickup would start before the routine does. Only the first section's pickup may; start it later.`,
          ),
        );
      } else if (lying.start < -MOST_BARS * bar) {
        problems.push(
          problem(
            "out-of-range",
            placeOf(lying, "bar"),
            `${named(lying)}: a lead-in for this pickup would have ${Math.ceil(-lying.start / bar).toLocaleString("en")} bars; it has at most ${MOST_BARS}. Start it later.`,
          ),
        );
      } else if (lying.start < earliest) earliest = Math.floor(lying.start / bar) * bar;
      if (!Number.isSafeInteger(sectionEnd - earliest)) {
        problems.push(
          problem(
            "out-of-range",
            placeOf(lying, "bar"),
            `${named(lying)}: with a lead-in for this pickup the routine is longer than the clock can count. Start it later.`,
          ),
        );
        return problems;
      }
      const untilNext = placement.lasts === undefined;
      const duration = untilNext ? Number.NaN : durationOf(placement, pattern, bar);
      lying.end = duration === null ? null : lying.start + duration;
      const player = placement.player ?? 1;
      const list = players.get(player);
      if (list === undefined) players.set(player, [lying]);
      else list.push(lying);
    }
    sectionStart = sectionEnd;
  }
  if (count > MOST_PLACEMENTS) {
    problems.push(
      problem(
        "out-of-range",
        "/sections",
        `There are ${count} placements; at most ${MOST_PLACEMENTS.toLocaleString("en")} can be held. Split the routine.`,
      ),
    );
  }

  let room = taken;
  for (const list of players.values()) {
    list.sort((a, b) => a.start - b.start || a.section - b.section || a.index - b.index);
    let before: (Lying & { end: number }) | undefined;
    const ending = new Map<number, PatternPlacement[]>();
    let uncertain = somewhere;
    for (const [order, lying] of list.entries()) {
      if (lying.end !== null && Number.isNaN(lying.end)) {
        let next = order + 1;
        while (next < list.length && (list[next] as Lying).start === lying.start) next++;
        lying.end = Math.min(list[next]?.start ?? lying.sectionEnd, lying.sectionEnd);
      }
      const { placement, start, end, sectionEnd, pattern } = lying;
      if (start >= sectionEnd || (end !== null && end > sectionEnd)) {
        const what = start >= sectionEnd ? "it starts at or after" : "it runs past";
        problems.push(
          problem(
            "past-section-end",
            placeOf(lying),
            `${named(lying)}: ${what} the end of the section. Move it earlier, shorten it, or add bars.`,
          ),
        );
      }
      // What starts past its section's end without a length of its own ends before it starts.
      if (before !== undefined && before.end > start && (end === null || before.start < end)) {
        problems.push(
          problem(
            "two-phrases",
            placeOf(lying),
            `${named(lying)}: two phrases for one pair of hands. Move one of them, or shorten the one before by ${overlap(before, before.end - start)}.`,
          ),
        );
      }
      if (!isWords(placement) && placement.carriesOn === true && !uncertain) {
        const { rig } = parts;
        const fits = ending.get(start)?.some((left) => {
          return rig === null || sampleOf(rig, left.sample).id === sampleOf(rig, placement.sample).id;
        });
        if (fits !== true) {
          problems.push(
            problem(
              "nothing-to-carry-on",
              placeOf(lying, "carriesOn"),
              `${named(lying)}: no phrase of this player ends exactly here on the same sample, so the record cannot go on from it. Remove carriesOn, or lengthen the phrase before.`,
            ),
          );
        }
      }
      if (end === null) {
        uncertain = true;
        continue;
      }
      if (before === undefined || end > before.end) before = { ...lying, end };
      if (!isWords(placement) && end > start) {
        const others = ending.get(end);
        if (others === undefined) ending.set(end, [placement]);
        else others.push(placement);
      }
      if (!isWords(placement) && pattern !== undefined && end > start && Number.isFinite(end)) {
        const more = handsRoom(pattern, placement, Math.min(end, sectionEnd) - start);
        if (room + more <= MOST_ROOM) room += more;
        else {
          problems.push(
            problem(
              "out-of-range",
              placeOf(lying),
              `${named(lying)}: here the routine has more strokes, openings and sounds than can be held. Shorten it, or split less finely.`,
            ),
          );
        }
      }
    }
  }
  return problems;
}

/** By how much one placement runs into the next, in steps of its record hand or in parts of a whole note. */
function overlap(before: Lying, by: number): string {
  if (!Number.isFinite(by)) return "its whole length past here";
  const step = before.pattern === undefined ? null : recordRound(before.pattern.record).step;
  return step === null
    ? `${fractionText(partOfWhole(by))} of a whole note`
    : `${fractionText(fraction(BigInt(by), BigInt(step)))} steps`;
}
