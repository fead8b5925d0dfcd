/**
 * A second reading of what `countercut describe --json` prints, slow and obvious: whole combined cycles are played
 * out, and every shift is tried.
 */
import type { Pattern, PatternPlacement, Routine } from "../../schemas/routine.ts";
import { cellsOf, movesOf, openStretches, type Stretch } from "./hands.ts";
import {
  barOf,
  beatLength,
  combinedLength,
  faderLength,
  type Layout,
  layOut,
  offsetOf,
  patternOf,
  platterSpeed,
  recordLength,
  sampleOf,
  secondsAt,
  stepOf,
} from "./layout.ts";
import { asText, earlier, later, lcm, modulo, rational, unitsAsText } from "./rational.ts";
import { type Played, play } from "./timeline.ts";

/** One combined length of a repeating pattern, in units from its start. */
export interface Round {
  readonly length: bigint;
  readonly moves: readonly (Stretch & {
    direction: "forward" | "back" | "hold";
    travel: number;
    released: boolean;
  })[];
  readonly openings: readonly Stretch[];
  readonly sounds: readonly (Stretch & { direction: "forward" | "back" })[];
}

/** The last cells are shut for the first clicks of the next round, however far back their closures reach. */
export function roundOf(pattern: Pattern): Round {
  const length = combinedLength(pattern);
  const moves = movesOf(pattern.record, 0, 0n, length).map(({ start, end, direction, stroke }) => ({
    start,
    end,
    direction,
    travel: direction === "hold" ? 0 : (stroke.travel ?? 45),
    released: stroke.shape === "released",
  }));
  const one = cellsOf(pattern.fader, 0, 0n, length);
  const longest = one.closures.reduce((most, { start, end }) => later(most, end - start), 0n);
  const closures = [...one.closures];
  for (let shift = length; shift - length <= longest; shift += length)
    closures.push(...one.closures.map(({ start, end }) => ({ start: start + shift, end: end + shift })));
  const openings = openStretches(one.open, closures, 0n, length);
  const sounds = moves.flatMap((move) =>
    openings.flatMap((opening) => {
      const [start, end] = [later(move.start, opening.start), earlier(move.end, opening.end)];
      return move.direction === "hold" || start >= end ? [] : [{ start, end, direction: move.direction }];
    }),
  );
  return { length, moves, openings, sounds };
}

/** The sounds of a round begun `shift` later, as one text to compare. */
const soundsText = ({ length, sounds }: Round, shift: bigint, exchanged: boolean) =>
  sounds
    .map(({ start, end, direction }) => {
      const forward = (direction === "forward") !== exchanged;
      return `${modulo(start - shift, length)} ${end - start} ${forward ? "forward" : "back"}`;
    })
    .sort()
    .join();

function isMirrored(round: Round): boolean {
  const own = soundsText(round, 0n, false);
  const first = round.sounds[0];
  if (first === undefined) return false;
  // A shift that maps the sounds onto themselves maps the first onto some other.
  return round.sounds.some(({ start }) => soundsText(round, start - first.start, true) === own);
}

/** Degrees that one record cycle leaves the record from where it found it; null with a released stroke. */
function driftOf({ record }: Pattern): number | null {
  if (record.strokes.some(({ shape }) => shape === "released")) return null;
  let drift = 0;
  for (const { move, travel = 45, times = 1 } of record.strokes)
    for (let k = 0; move !== "hold" && k < times; k++)
      drift += (move === "forward") === (k % 2 === 0) ? travel : -travel;
  return drift;
}

/** How many moves and cells one combined length holds: what it costs to play it out. */
export function sizeOf(pattern: Pattern): number {
  const length = combinedLength(pattern);
  const count = (parts: readonly { times?: number | undefined }[], cycle: bigint) =>
    Number(length / cycle) * parts.reduce((sum, { times = 1 }) => sum + times, 0);
  const { record, fader } = pattern;
  return count(record.strokes, recordLength(pattern)) + count(fader.cells, faderLength(pattern));
}

/** A pattern's facts; what takes playing it out is left out where that would be long. */
function describePattern(pattern: Pattern, most: number) {
  const length = combinedLength(pattern);
  const common = {
    id: pattern.id,
    combinedSteps: asText(rational(length, stepOf(pattern.record.step))),
    driftDegrees: driftOf(pattern),
  };
  if (sizeOf(pattern) > most) return common;
  const round = roundOf(pattern);
  return { ...common, sounds: round.sounds.length, mirrored: isMirrored(round) };
}

function describePlacement(routine: Routine, layout: Layout, section: number, index: number) {
  const laid = layout.placements.find((one) => one.section === section && one.index === index)!;
  const pattern = patternOf(routine, laid.placement)!;
  const { meter, id, beat: beatId } = routine.sections[section]!;
  const [bar, length] = [barOf(meter), combinedLength(pattern)];
  const roundTrip = lcm(length, bar);
  const repeats = roundTrip / length;
  const offset = offsetOf(laid.placement, bar);
  const repeatStarts: string[] = [];
  for (let n = 0n; n < repeats && n < 1000n; n++)
    repeatStarts.push(unitsAsText(modulo(offset + n * length, bar)));
  const beat = routine.beats.find((one) => one.id === beatId);
  return {
    section: id,
    placement: index,
    comeRoundBars: Number(roundTrip / bar),
    comeRoundRepeats: Number(repeats),
    repeatStarts,
    comeRoundWithBeatBars: beat ? Number(lcm(roundTrip, beatLength(beat)) / bar) : null,
    landing: { steps: asText(rational((laid.end - laid.start) % length, stepOf(pattern.record.step))) },
  };
}

const SAME = 1e-6;
/** At most, up to one part in a million. */
const isWithin = (value: number, limit: number) => value <= limit * (1 + SAME);

/** The shortest way to the same sound; exactly half a repeat is brought forward. */
function shortestWay(from: number, to: number, repeatsEvery: number): number {
  const way = to - from;
  if (repeatsEvery === 0) return way;
  const rest = way - Math.floor(way / repeatsEvery) * repeatsEvery;
  return rest <= (repeatsEvery / 2) * (1 + SAME) ? rest : rest - repeatsEvery;
}

function describeJoin(routine: Routine, layout: Layout, from: Played, to: Played) {
  const { speed: fastest = 6, unheardDegrees = 15, changeSeconds = 2 } = routine.rig?.limits ?? {};
  const placement = to.laid.placement as PatternPlacement;
  const [sample, next] = [sampleOf(routine, from.laid.placement)!, sampleOf(routine, placement)!];
  const sampleChanges = sample.id !== next.id;
  const seconds = secondsAt(layout, to.laid.start, "hands") - secondsAt(layout, from.laid.end, "hands");
  const byCue = placement.arrives === "cue";
  const adjoins = from.laid.end === to.laid.start;
  const moveDegrees = sampleChanges ? null : shortestWay(from.to, to.from, sample.repeatsEvery ?? 360);
  const speed =
    moveDegrees === null || byCue || adjoins
      ? null
      : Math.abs(moveDegrees) / seconds / platterSpeed(routine, to.laid.section);
  const flows = byCue || (moveDegrees !== null && isWithin(Math.abs(moveDegrees), unheardDegrees));
  const hasTime = sampleChanges
    ? isWithin(changeSeconds, seconds)
    : speed !== null && isWithin(speed, fastest);
  const ref = ({ laid }: Played) => ({ section: routine.sections[laid.section]!.id, placement: laid.index });
  return {
    from: ref(from),
    to: ref(to),
    seconds,
    moveDegrees,
    speed,
    faderOpen:
      adjoins &&
      from.openings.some(({ end }) => end === from.laid.end) &&
      to.openings.some(({ start }) => start === to.laid.start),
    sampleChanges,
    verdict: flows ? "flows" : hasTime ? "reset" : "beyond your limits",
    arrival: to.laid.start,
  };
}

/**
 * What `describe --json` prints but for the names of patterns, with the joins in order of arrival.
 *
 * @param most moves and cells in a combined length that is played out
 */
export function referenceFacts(routine: Routine, most: number) {
  const layout = layOut(routine);
  const played = play(routine, layout);
  const joins = played.flatMap((to) => {
    const from = played.findLast(({ laid }) => laid.player === to.laid.player && laid.start < to.laid.start);
    if (from === undefined) return [];
    if ("words" in from.laid.placement || "words" in to.laid.placement) return [];
    return [describeJoin(routine, layout, from, to)];
  });
  return {
    patterns: routine.patterns.map((pattern) => describePattern(pattern, most)),
    placements: layout.placements
      .filter(({ placement }) => "pattern" in placement)
      .map(({ section, index }) => describePlacement(routine, layout, section, index)),
    joins,
  };
}
