/**
 * What a renderer needs of a stretch of the routine, in frames: the moves of each player's record, the openings of
 * the fader, the strikes of drums and clicks. It is worked out a stretch at a time from the performance, so that a
 * new renderer after an edit costs nothing but the stretches that are then heard.
 */

import type { Performance } from "../../schemas/performance.ts";
import { platterSpeed } from "../../schemas/rig.ts";
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { type Swung, swingOf, type Timeline } from "../time/timeline.ts";
import type { Clicks } from "./clicks.ts";
import { clicksIn } from "./clicktrack.ts";
import type { Openings } from "./gate.ts";
import type { Kit } from "./kit.ts";
import type { Move } from "./motion.ts";
import { openingsIn } from "./openings.ts";
import { RATE } from "./rate.ts";
import { recordedIn } from "./recorded.ts";
import { releasedShifts, type Shifts } from "./shifts.ts";
import { strikesIn } from "./strikes.ts";
import { movesIn } from "./strokes.ts";
import type { Tables } from "./tables.ts";

/** Sounds that a routine plays, by id; what is missing is silent. */
export interface Sounds {
  readonly samples: ReadonlyMap<string, Tables>;
  /** Recorded beats, by the beat's id. */
  readonly beats: ReadonlyMap<string, Tables>;
  readonly kit: Kit;
  readonly clicks: Clicks;
}

export interface Score {
  readonly routine: Routine;
  readonly performance: Performance;
  readonly timeline: Timeline;
  readonly sounds: Sounds;
  /** Playing speed as tempo: 0.25 to 2. */
  readonly speed: number;
  /** Degrees a second of the record at its own speed. */
  readonly platter: number;
  /** How far the records stand from where the performance says, because released strokes last longer or shorter. */
  readonly shifts: Shifts;
  /** Frame (not whole) of an absolute position. */
  frameAt(position: number, swung: Swung): number;
}

/** A part of the routine: absolute positions, with room around the frames (the end not included). */
export interface Window {
  readonly from: number;
  readonly to: number;
  readonly firstFrame: number;
  readonly endFrame: number;
  /** Sections of which something may be heard in it. */
  readonly sections: readonly number[];
}

/** A record under a hand and a fader, or a recorded beat. */
export interface Track {
  readonly player: number;
  readonly moves: readonly Move[];
  readonly openings: Openings;
}

/** A sound that is struck at a frame. */
export interface Strike {
  readonly frame: number;
  /** Frame from which it is damped; Infinity where it rings out. */
  readonly until: number;
  readonly left: Float32Array;
  readonly right: Float32Array;
  readonly gain: number;
}

export interface Stretch {
  readonly players: readonly Track[];
  readonly recorded: readonly Track[];
  readonly strikes: readonly Strike[];
  readonly clicks: readonly Strike[];
}

/** Frames in a stretch, a multiple of a cell. */
export const STRETCH = 65_536;

export function createScore(
  routine: Routine,
  performance: Performance,
  timeline: Timeline,
  sounds: Sounds,
  speed: number,
): Score {
  const framesPerSecond = RATE / speed;
  return {
    routine,
    performance,
    timeline,
    sounds,
    speed,
    platter: platterSpeed(routine.rig),
    shifts: releasedShifts(routine, performance, speed),
    frameAt: (position, swung) => timeline.secondsAt(position, swung) * framesPerSecond,
  };
}

/** Where each section's events reach, pickups included: absolute positions. */
function reaches(performance: Performance): { from: number; to: number }[] {
  return performance.sections.map(({ start, end, performance: { placed } }) => ({
    from: start + placed.reduce((first, one) => Math.min(first, one.start), 0),
    to: end,
  }));
}

/** Gives the stretch with frames index·STRETCH to (index + 1)·STRETCH; keeps the last few. */
export function stretches(score: Score): (index: number) => Stretch {
  const reach = reaches(score.performance);
  const margin =
    UNITS_PER_WHOLE + 4 * score.routine.sections.reduce((most, one) => Math.max(most, swingOf(one).step), 0);
  const kept = new Map<number, Stretch>();

  function windowOf(firstFrame: number, endFrame: number): Window {
    const seconds = (frame: number): number => (frame / RATE) * score.speed;
    const from = score.timeline.positionAt(Math.max(0, seconds(firstFrame))) - margin;
    const to = score.timeline.positionAt(Math.max(0, seconds(endFrame))) + margin;
    const sections: number[] = [];
    for (const [index, part] of reach.entries()) if (part.from <= to && part.to >= from) sections.push(index);
    return { from, to, firstFrame, endFrame, sections };
  }

  function build(index: number): Stretch {
    const first = index * STRETCH;
    const window = windowOf(first, first + STRETCH);
    const moves = movesIn(score, window);
    const openings = openingsIn(score, window);
    const players = [...new Set([...moves.keys(), ...openings.keys()])].sort((a, b) => a - b);
    const ringing = windowOf(first - score.sounds.kit.longest, first + STRETCH);
    return {
      players: players.map((player) => ({
        player,
        moves: moves.get(player) ?? [],
        openings: openings.get(player) ?? new Float64Array(0),
      })),
      recorded: recordedIn(score, window),
      strikes: strikesIn(score, ringing),
      clicks: clicksIn(score, window),
    };
  }

  return (index) => {
    const known = kept.get(index);
    if (known !== undefined) return known;
    const built = build(index);
    if (kept.size > 3) kept.delete(kept.keys().next().value as number);
    kept.set(index, built);
    return built;
  };
}
