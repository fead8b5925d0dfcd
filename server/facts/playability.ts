/**
 * Whether hands can do it: the hardest moment of a placement for each limit of the user's hands, as it is really
 * played (tempo, ramp and the hands' swing included), and the tempo at which the limit would be reached.
 *
 * Speed within a stroke is that of its shape over its whole length: an eased stroke is fastest in its middle, π/2
 * times its mean (the derivative of (1 − cos πu)/2 at u = ½). A stroke or an opening that the placement's end cuts
 * off is judged by what it would have been; an opening that is cut off is left out.
 */
import type { HandFigure, HandLimit, HandReach } from "../../schemas/facts.ts";
import type { OpeningEvent, PlacedEvent, StrokeEvent } from "../../schemas/performance.ts";
import type { Limits, Pattern, PatternPlacement } from "../../schemas/routine.ts";
import { type Units, UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { faderRound } from "../hands/fader.ts";
import { type CycleMove, recordRound } from "../hands/record.ts";
import { isMoving, phraseOf } from "./phrase.ts";
import { atMost } from "./tolerance.ts";

const PEAK_OF_EASED = Math.PI / 2;

/** In the order in which they are listed. */
const HAND_LIMITS: readonly HandLimit[] = [
  "clicks",
  "splitClicks",
  "strokes",
  "splitStrokes",
  "closedMs",
  "openMs",
  "speed",
];

/** These must not be undercut; the others must not be exceeded. */
const AT_LEAST: ReadonlySet<HandLimit> = new Set<HandLimit>(["closedMs", "openMs"]);

interface Moment {
  readonly value: number;
  readonly at: Units;
}

/** The hardest moment for each limit; of speed in degrees a second, as the hand moves. */
export interface Hardest {
  readonly moments: ReadonlyMap<HandLimit, Moment>;
  /** Where the record is first released, and so at the platter's own speed; null where it never is. */
  readonly released: Units | null;
}

function note(moments: Map<HandLimit, Moment>, limit: HandLimit, value: number, at: Units): void {
  const known = moments.get(limit);
  const harder = known === undefined || (AT_LEAST.has(limit) ? value < known.value : value > known.value);
  if (harder) moments.set(limit, { value, at });
}

/**
 * Whether the fader opens there in a split cell, so that the fingers take turns up to its next opening, also the
 * first after the cell. @param at units from the start of the fader's cycle
 */
function isInSplit(pattern: Pattern, at: number): boolean {
  const { cellStarts, length } = faderRound(pattern.fader);
  const inside = at % length;
  let index = cellStarts.length - 1;
  while (index > 0 && (cellStarts[index] as number) > inside) index--;
  return (pattern.fader.cells[index]?.times ?? 1) > 1;
}

export interface Played {
  readonly pattern: Pattern;
  readonly placement: PatternPlacement;
  readonly placed: PlacedEvent;
  /** Of this placement, in order. */
  readonly strokes: readonly StrokeEvent[];
  readonly openings: readonly OpeningEvent[];
}

/** Whatever the limits and the pitch slider say. @param seconds from an earlier to a later place, units from the section's start */
export function hardestOf(
  { pattern, placement, placed, strokes, openings }: Played,
  seconds: (from: number, to: number) => number,
): Hardest {
  const moments = new Map<HandLimit, Moment>();
  let released: Units | null = null;
  const record = recordRound(pattern.record);
  let move = record.firstMoves[placement.recordFrom ?? 0] as number;
  for (const { start, end, fullEnd, fullTravel, shape, direction } of strokes) {
    const { times } = record.moves[move] as CycleMove;
    move = (move + 1) % record.moves.length;
    if (direction === "hold") continue;
    if (shape === "released") {
      released ??= start;
      continue;
    }
    const whole = (seconds(start, end) * (fullEnd - start)) / (end - start);
    note(moments, times > 1 ? "splitStrokes" : "strokes", 1 / whole, start);
    const peak = shape === "eased" ? PEAK_OF_EASED : 1;
    note(moments, "speed", (peak * Math.abs(fullTravel)) / whole, start);
  }
  const faderFrom = (faderRound(pattern.fader).cellStarts[placement.faderFrom ?? 0] as number) - placed.start;
  for (let index = 0; index < openings.length; index++) {
    const { start, end } = openings[index] as OpeningEvent;
    if (end < placed.end) note(moments, "openMs", 1000 * seconds(start, end), start);
    const next = openings[index + 1];
    if (next === undefined) continue;
    note(moments, "closedMs", 1000 * seconds(end, next.start), end);
    const split = isInSplit(pattern, faderFrom + start);
    note(moments, split ? "splitClicks" : "clicks", 1 / seconds(start, next.start), start);
  }
  return { moments, released };
}

/** The hardest speed, times platter speed: of a hand, or of the released record, which is the platter's own. */
function speedOf({ moments, released }: Hardest, platter: number): Moment | undefined {
  const moved = moments.get("speed");
  const hand = moved === undefined ? undefined : { value: moved.value / platter, at: moved.at };
  if (released === null || (hand !== undefined && hand.value > 1)) return hand;
  return { value: 1, at: released };
}

/**
 * @param tempoAt quarters a minute there
 * @param platter degrees a second, pitch included
 */
export function handFigures(
  hardest: Hardest,
  limits: Limits,
  tempoAt: (position: number) => number,
  platter: number,
): HandFigure[] {
  return HAND_LIMITS.flatMap((limit) => {
    const found = limit === "speed" ? speedOf(hardest, platter) : hardest.moments.get(limit);
    if (found === undefined) return [];
    const allowed = limits[limit];
    const atLeast = AT_LEAST.has(limit);
    return [
      {
        limit,
        value: found.value,
        allowed,
        within: atLeast ? atMost(allowed, found.value) : atMost(found.value, allowed),
        at: found.at,
        reachedAtTempo: tempoAt(found.at) * (atLeast ? found.value / allowed : allowed / found.value),
      },
    ];
  });
}

/** Seconds of a unit at one quarter a minute. */
const SLOWEST = 60 / UNITS_PER_QUARTER;

/**
 * Where each limit is reached by the endlessly repeating phrase, straight, without the pitch slider. A released
 * stroke runs at the platter's own speed at any tempo and is left out.
 */
export function handReach(pattern: Pattern, limits: Limits, platter: number): HandReach[] {
  const { record, fader } = phraseOf(pattern);
  const reached = new Map<HandLimit, number>();
  const lowest = (limit: HandLimit, tempo: number): void => {
    reached.set(limit, Math.min(tempo, reached.get(limit) ?? Number.POSITIVE_INFINITY));
  };
  for (const move of record.moves.filter(isMoving)) {
    if (move.shape === "released") continue;
    const slowest = SLOWEST * (move.end - move.start);
    const limit = move.times > 1 ? "splitStrokes" : "strokes";
    lowest(limit, limits[limit] * slowest);
    const peak = move.shape === "eased" ? PEAK_OF_EASED : 1;
    lowest("speed", (limits.speed * platter * slowest) / (peak * Math.abs(move.travel)));
  }
  for (const [index, { start, end }] of fader.openings.entries()) {
    const next =
      fader.openings[index + 1]?.start ?? (fader.openings[0] as { start: number }).start + fader.length;
    lowest("openMs", (1000 * SLOWEST * (end - start)) / limits.openMs);
    lowest("closedMs", (1000 * SLOWEST * (next - end)) / limits.closedMs);
    const limit = isInSplit(pattern, start) ? "splitClicks" : "clicks";
    lowest(limit, limits[limit] * SLOWEST * (next - start));
  }
  return HAND_LIMITS.flatMap((limit) => {
    const tempo = reached.get(limit);
    return tempo === undefined ? [] : [{ limit, reachedAtTempo: tempo }];
  });
}
