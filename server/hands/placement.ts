/**
 * One placement of a pattern, compiled: strokes, openings and sounds in units from the placement's start. The two
 * hands meet here: a sound is a longest stretch in which the fader is open and the record moves within one stroke.
 */
import type { Direction, OpeningEvent, SoundEvent, StrokeEvent } from "../../schemas/performance.ts";
import type { Pattern, Shape } from "../../schemas/routine.ts";
import type { Degrees, Units } from "../../schemas/units.ts";
import { faderRound, openingsOf, type Stretch } from "./fader.ts";
import { type CycleMove, doneAfter, recordRound } from "./record.ts";

/** What one placement leaves to the next of the same player that starts exactly where it ends. */
export interface HandOver {
  readonly position: Degrees;
  readonly faderOpen: boolean;
  readonly moved: Direction | "hold";
}

/** Nothing, or words, right before: the fader counts as closed and the record as held. */
export const NOTHING_BEFORE: HandOver = { position: 0 as Degrees, faderOpen: false, moved: "hold" };

export interface PlacementInput {
  readonly pattern: Pattern;
  /** Strokes and cells into their cycles. */
  readonly recordFrom: number;
  readonly faderFrom: number;
  readonly duration: Units;
  readonly position: Degrees;
  readonly before: HandOver;
  /** Index in the section, carried by every event. */
  readonly placement: number;
  /** Units added to every time, so that events stand from the section's start. */
  readonly offset: number;
  /** Degrees that the released platter turns between two positions (units from the section's start). */
  readonly turned: (start: number, end: number) => number;
}

export interface PlacementEvents {
  readonly strokes: StrokeEvent[];
  readonly openings: OpeningEvent[];
  readonly sounds: SoundEvent[];
  readonly recordGroups: Units[];
  readonly faderGroups: Units[];
  readonly after: HandOver;
}

function strokesOf(input: PlacementInput): StrokeEvent[] {
  const round = recordRound(input.pattern.record);
  const { moves, length } = round;
  const strokes: StrokeEvent[] = [];
  const { duration, offset, placement } = input;
  let index = round.firstMoves[input.recordFrom] as number;
  let turn = -(moves[index] as CycleMove).start;
  let position: number = input.position;
  for (;;) {
    const move = moves[index] as CycleMove;
    const start = turn + move.start;
    if (start >= duration) return strokes;
    const fullEnd = turn + move.end;
    const end = Math.min(fullEnd, duration);
    const isReleased = move.shape === "released";
    const done =
      end === fullEnd && !isReleased ? move.travel : movedBy(move, move.travel, start, end, fullEnd, input);
    strokes.push({
      start: (start + offset) as Units,
      end: (end + offset) as Units,
      direction: move.direction,
      from: position as Degrees,
      to: (position + done) as Degrees,
      shape: move.shape,
      fullEnd: (fullEnd + offset) as Units,
      // Where the platter would have got to is nobody's question, and a falling ramp may have no tempo there.
      fullTravel: (isReleased ? done : move.travel) as Degrees,
      placement,
    });
    position += done;
    index++;
    if (index === moves.length) {
      index = 0;
      turn += length;
    }
  }
}

/** Signed degrees that a move has done at `at`; times from the placement's start. */
function movedBy(
  move: { readonly shape: Shape },
  fullTravel: number,
  start: number,
  at: number,
  fullEnd: number,
  input: Pick<PlacementInput, "turned" | "offset">,
): number {
  if (move.shape === "released") return input.turned(start + input.offset, at + input.offset);
  return fullTravel * doneAfter(move.shape, (at - start) / (fullEnd - start));
}

function soundsOf(
  strokes: readonly StrokeEvent[],
  openings: readonly Stretch[],
  input: PlacementInput,
): SoundEvent[] {
  const { offset, before, placement } = input;
  const sounds: SoundEvent[] = [];
  const at = (stroke: StrokeEvent, time: number): Degrees => {
    if (time === stroke.start) return stroke.from;
    if (time === stroke.end) return stroke.to;
    const moved = movedBy(stroke, stroke.fullTravel, stroke.start, time, stroke.fullEnd, {
      ...input,
      offset: 0,
    });
    return (stroke.from + moved) as Degrees;
  };
  let first = 0;
  let earlier: Direction | "hold" = before.moved;
  for (const stroke of strokes) {
    while (first < openings.length && (openings[first] as Stretch).end + offset <= stroke.start) first++;
    if (stroke.direction !== "hold") {
      for (let index = first; index < openings.length; index++) {
        const opening = openings[index] as Stretch;
        const opens = opening.start + offset;
        if (opens >= stroke.end) break;
        const start = Math.max(stroke.start, opens) as Units;
        const end = Math.min(stroke.end, opening.end + offset) as Units;
        const openBefore = opens < start || (opening.start === 0 && before.faderOpen);
        sounds.push({
          start,
          end,
          direction: stroke.direction,
          onset: !openBefore
            ? "cut"
            : earlier === "hold"
              ? "from-rest"
              : earlier === stroke.direction
                ? "restart"
                : "turn",
          from: at(stroke, start),
          to: at(stroke, end),
          placement,
        });
      }
    }
    earlier = stroke.direction;
  }
  return sounds;
}

/** Starts of each round of a cycle inside the placement, from its start. */
function groupStarts(length: Units, from: number, duration: Units, offset: number): Units[] {
  const starts: Units[] = [];
  for (let at = from === 0 ? 0 : length - from; at < duration; at += length)
    starts.push((at + offset) as Units);
  return starts;
}

export function compilePlacement(input: PlacementInput): PlacementEvents {
  const { pattern, duration, offset, placement } = input;
  const record = recordRound(pattern.record);
  const fader = faderRound(pattern.fader);
  const faderFrom = fader.cellStarts[input.faderFrom] as Units;
  const recordFrom = (record.moves[record.firstMoves[input.recordFrom] as number] as CycleMove).start;
  const strokes = strokesOf(input);
  const stretches = openingsOf(fader, faderFrom, duration);
  const sounds = soundsOf(strokes, stretches, input);
  const last = strokes[strokes.length - 1] as StrokeEvent;
  return {
    strokes,
    openings: stretches.map(({ start, end }) => ({
      start: (start + offset) as Units,
      end: (end + offset) as Units,
      placement,
    })),
    sounds,
    recordGroups: groupStarts(record.length, recordFrom, duration, offset),
    faderGroups: groupStarts(fader.length, faderFrom, duration, offset),
    after: {
      position: last.to,
      faderOpen: stretches.length > 0 && (stretches[stretches.length - 1] as Stretch).end === duration,
      moved: last.direction,
    },
  };
}
