/** From strokes in units and degrees to moves in frames and samples. */

import type { StrokeEvent } from "../../schemas/performance.ts";
import { platterSpeed } from "../../schemas/rig.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { swingOf } from "../time/timeline.ts";
import type { Score, Window } from "./inFrames.ts";
import { CATCH_UP_SECONDS, EASED, EVEN, type Move, motionAt, newMove, RELEASED, REST } from "./motion.ts";
import { placedBy } from "./placed.ts";
import { RATE } from "./rate.ts";
import { smoothTime } from "./smooth.ts";
import { CELL } from "./voice.ts";

/** A stroke with its absolute place and what it plays. */
interface Placed {
  readonly stroke: StrokeEvent;
  readonly section: number;
  readonly index: number;
  /** Absolute. */
  readonly start: number;
  readonly end: number;
  readonly sample: string | null;
}

/** Moves by player, in order; where the record stands between and after them there is a short rest. */
export function movesIn(score: Score, window: Window): Map<number, Move[]> {
  const byPlayer = new Map<number, Placed[]>();
  for (const section of window.sections) {
    const { start, performance } = score.performance.sections[section]!;
    const placed = placedBy(performance);
    for (const [index, stroke] of performance.strokes.entries()) {
      const from = start + stroke.start;
      const to = start + stroke.end;
      if (to < window.from || from > window.to) continue;
      const { player, sample } = placed.get(stroke.placement)!;
      const list = byPlayer.get(player) ?? [];
      if (list.length === 0) byPlayer.set(player, list);
      list.push({ stroke, section, index, start: from, end: to, sample });
    }
  }
  const result = new Map<number, Move[]>();
  for (const [player, list] of byPlayer) {
    list.sort((a, b) => a.start - b.start);
    const moves: Move[] = [];
    for (const [i, placed] of list.entries()) {
      const next = list[i + 1];
      addMoves(score, window, placed, list[i - 1], next, moves);
      const last = moves.at(-1);
      if (last !== undefined && next?.start !== placed.end) {
        const until = next === undefined ? Number.POSITIVE_INFINITY : score.frameAt(next.start, "hands");
        moves.push(restAfter(last, Math.min(until, last.end + 2 * CELL)));
      }
    }
    result.set(player, moves);
  }
  return result;
}

/** The record stays where it was left; its voltage fades within a cell. */
function restAfter(move: Move, end: number): Move {
  const left = Float64Array.of(move.end, 0);
  motionAt(move, left);
  return newMove({ ...move, kind: REST, start: move.end, end, from: left[0]! });
}

/** Turns forward already when it starts, and still does when it ends. */
const isRolling = ({ direction, shape }: StrokeEvent): boolean =>
  direction === "forward" && shape !== "eased";

function addMoves(
  score: Score,
  window: Window,
  placed: Placed,
  before: Placed | undefined,
  next: Placed | undefined,
  out: Move[],
): void {
  const { stroke, section, index, start, end, sample } = placed;
  const tables = (sample === null ? undefined : score.sounds.samples.get(sample)) ?? null;
  const samplesPerDegree = (tables?.rate ?? RATE) / score.platter;
  const at = stroke.from + score.shifts.of(section, index);
  const common = {
    tables,
    unit: (tables?.rate ?? RATE) / RATE,
    from: (tables?.origin ?? 0) + at * samplesPerDegree,
  };
  const startFrame = score.frameAt(start, "hands");
  const endFrame = score.frameAt(end, "hands");
  if (!(endFrame > startFrame)) return;
  if (stroke.direction === "hold") {
    out.push(newMove({ ...common, kind: REST, start: startFrame, end: endFrame }));
    return;
  }
  if (stroke.shape === "released") {
    const { pitch } = score.routine.sections[section]!;
    const rolling = before?.end === start && isRolling(before.stroke);
    const whole = endFrame - startFrame;
    // A record that is then caught by a hand stays the few degrees behind that nobody hears; one that rolls on is
    // where it should be by then, so that its sound does not skip.
    const rollsOn = next?.start === end && isRolling(next.stroke);
    const travel = (platterSpeed(score.routine.rig, pitch) / RATE) * samplesPerDegree;
    out.push(
      newMove({ ...common, kind: RELEASED, start: startFrame, end: endFrame }, travel, [0, 1, 0, 0], {
        catchUp: rolling ? 0 : Math.min(CATCH_UP_SECONDS * RATE, whole / (rollsOn ? 20 : 3)),
        madeGood: rollsOn ? whole : Number.POSITIVE_INFINITY,
      }),
    );
    return;
  }
  const whole = stroke.fullEnd - stroke.start;
  const knots = knotsIn(score, Math.max(start, window.from), Math.min(end, window.to));
  const parts = smoothTime(
    knots.map((knot) => score.frameAt(knot, "hands")),
    knots.map((knot) => (knot - start) / whole),
  );
  for (const part of parts) {
    const kind = stroke.shape === "even" ? EVEN : EASED;
    const { start: partStart, end: partEnd, time } = part;
    out.push(
      newMove(
        { ...common, kind, start: partStart, end: partEnd },
        stroke.fullTravel * samplesPerDegree,
        time,
      ),
    );
  }
}

/** Parts of a quarter note between which a tempo that changes is taken as even. */
const RAMP_GRID = UNITS_PER_QUARTER / 16;

/** Absolute positions between which musical time goes evenly: swing bends it, a ramp curves it. */
function knotsIn(score: Score, from: number, to: number): number[] {
  const knots = [from];
  let at = from;
  while (at < to) {
    const index = score.timeline.sectionAt(at);
    const { start, end } = score.performance.sections[index]!;
    const section = score.routine.sections[index]!;
    let next = to;
    const stopAt = (position: number): void => {
      if (position > at && position < next) next = position;
    };
    if (at < start) stopAt(start);
    else {
      if (index + 1 < score.routine.sections.length) stopAt(end);
      const { step, hands } = swingOf(section);
      if (step > 0 && hands !== 50) stopAt(start + (Math.floor((at - start) / step) + 1) * step);
      if (typeof section.tempo !== "number" && section.tempo.from !== section.tempo.to) {
        stopAt(start + (Math.floor((at - start) / RAMP_GRID) + 1) * RAMP_GRID);
      }
    }
    knots.push(next);
    at = next;
  }
  return knots;
}
