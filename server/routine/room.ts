/**
 * How much memory what is laid out of a routine takes, told before anything is laid out: a file of a few lines can ask
 * for more strokes or hits than any memory holds.
 */
import { Memory } from "../../schemas/memory.ts";
import {
  type Beat,
  isWords,
  type Pattern,
  type PatternPlacement,
  type Placement,
  type Routine,
} from "../../schemas/routine.ts";
import { type FaderRound, faderRound } from "../hands/fader.ts";
import { type RecordRound, recordRound } from "../hands/record.ts";
import { gcdOf } from "../time/fraction.ts";
import { beatLength, hitsIn } from "./beat.ts";
import { endOf, homeList, layoutAt, layRoutine, startOf } from "./laid.ts";
import { layOut } from "./layout.ts";
import { beatsOf, patternsOf } from "./lookups.ts";

/**
 * Bytes, as much as the engine gives a program of itself: room for 500 sections of 999 bars of sixteenths, each with a
 * click and a hit of the beat.
 */
export const MOST_ROOM = 4 * 1024 ** 3;

/** Bytes that one of each takes with what is kept beside it; of a cell or click, what it takes while it is laid out. */
const STROKE = 224;
const SOUND = 128;
const OPENING = 64;
const HIT = 64;
const ROUND = 48;
const PIECE = 16;

/** Where the fader opens in a round of many. */
function openingsIn({ open, clicks, length }: FaderRound): ReadonlySet<number> {
  const opens = new Set<number>(clicks.map(({ at }) => at));
  // It may be open from the round before on.
  let end = open.at(-1)?.end === length ? 0 : -1;
  for (const stretch of open) {
    if (stretch.start > end) opens.add(stretch.start);
    end = stretch.end;
  }
  return opens;
}

/**
 * How often, in units to the minus first, the fader opens exactly where a stroke starts. Of each pair of a stroke and
 * an opening that are apart by a whole number of the cycles' greatest common divisor it does once a combined length.
 * @param shift units by which the fader's cycle begins after the record's
 */
function together(record: RecordRound, fader: FaderRound, opens: ReadonlySet<number>, shift: number): number {
  const common = gcdOf(record.length, fader.length);
  const rests = new Map<number, number>();
  for (const { start } of record.moves) rests.set(start % common, (rests.get(start % common) ?? 0) + 1);
  let pairs = 0;
  for (const at of opens) pairs += rests.get((((at + shift) % common) + common) % common) ?? 0;
  return (pairs * common) / record.length / fader.length;
}

/** Of a placement of a pattern, both without errors. @param length units that it lasts */
export function handsRoom(pattern: Pattern, placement: PatternPlacement, length: number): number {
  const record = recordRound(pattern.record);
  const fader = faderRound(pattern.fader);
  const opens = openingsIn(fader);
  const from = record.moves[record.firstMoves[placement.recordFrom ?? 0] ?? 0]?.start ?? 0;
  const shift = from - (fader.cellStarts[placement.faderFrom ?? 0] ?? 0);
  const rounds = length / fader.length;
  const strokes = (length / record.length) * record.moves.length;
  const openings = rounds * opens.size;
  // A sound begins with a stroke, or where the fader opens.
  const sounds = strokes + openings - length * together(record, fader, opens, shift);
  const pieces = fader.open.length + fader.clicks.length;
  const marks = rounds * Math.max(ROUND, PIECE * pieces);
  return STROKE * strokes + SOUND * sounds + OPENING * openings + marks;
}

/** Bytes a unit: asked for with every edit. */
const hitRoom = new Memory<Beat, number>();

/** Of a beat without errors. @param length units of the section that it is laid over */
export function beatRoom(beat: Beat, length: number): number {
  let each = hitRoom.get(beat);
  if (each === undefined) {
    each = (HIT * hitsIn(beat)) / beatLength(beat);
    hitRoom.set(beat, each);
  }
  return length * each;
}

/**
 * Of each section of a routine as it would be compiled, whatever its errors; what is left out makes room for what
 * lasts until the next placement. A pickup counts where it starts. @param without placements to leave out
 */
export function roomBySection(routine: Routine, without: ReadonlySet<Placement>): number[] {
  const patterns = patternsOf(routine);
  const layouts = routine.sections.map((section) => ({ layout: layOut(section, patterns) }));
  const laid = layRoutine(routine, layouts, without);
  return routine.sections.map((section, index) => {
    const beat = section.beat === undefined ? undefined : beatsOf(routine).get(section.beat);
    let room = beat === undefined ? 0 : beatRoom(beat, layoutAt(laid, index).length);
    const list = homeList(laid, index);
    for (const homed of list) {
      const { placement } = homed.spot;
      if (isWords(placement)) continue;
      const pattern = patterns.get(placement.pattern) as Pattern;
      const start = startOf(laid, homed.owner) + homed.spot.start;
      room += handsRoom(pattern, placement, Math.max(0, endOf(laid, homed, index, list) - start));
    }
    return room;
  });
}
