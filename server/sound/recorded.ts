/** A recorded beat follows the tempo as a record does: by turning faster or slower. */
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { beatLength } from "../routine/beat.ts";
import { beatsOf } from "../routine/lookups.ts";
import { meterOf } from "../time/meter.ts";
import { OPENING_FRAMES } from "./gate.ts";
import type { Score, Track, Window } from "./inFrames.ts";
import { EVEN, type Move, newMove } from "./motion.ts";
import { RATE } from "./rate.ts";

/** Parts of a quarter note between which a tempo that changes is taken as even. */
const GRID = UNITS_PER_QUARTER / 4;

export function recordedIn(score: Score, window: Window): Track[] {
  const beats = beatsOf(score.routine);
  const tracks: Track[] = [];
  let phase = 0;
  for (const [index, section] of score.routine.sections.entries()) {
    const { start, end } = score.performance.sections[index]!;
    const beat = section.beat === undefined ? undefined : beats.get(section.beat);
    if (section.beatContinues !== true) phase = 0;
    const tables = beat === undefined ? undefined : score.sounds.beats.get(beat.id);
    if (beat?.recorded !== undefined && tables !== undefined && start <= window.to && end >= window.from) {
      const { tempo } = beat.recorded;
      const length = beatLength(beat);
      const perUnit = ((60 / tempo) * tables.rate) / UNITS_PER_QUARTER;
      const moves: Move[] = [];
      const first = start + Math.max(0, Math.floor((window.from - start) / GRID)) * GRID;
      for (let at = first; at < Math.min(end, window.to); ) {
        const into = (at - start + phase) % length;
        const next = Math.min(end, at + length - into, start + (Math.floor((at - start) / GRID) + 1) * GRID);
        const from = score.frameAt(at, "straight");
        const to = score.frameAt(next, "straight");
        const place = tables.origin + into * perUnit;
        const unit = tables.rate / RATE;
        const time = [0, 1 / (to - from), 0, 0];
        moves.push(
          newMove(
            { kind: EVEN, tables, unit, start: from, end: to, from: place },
            (next - at) * perUnit,
            time,
          ),
        );
        at = next;
      }
      tracks.push({ player: 0, moves, openings: soundingBars(score, index) });
    }
    if (beat !== undefined) phase = (phase + end - start) % beatLength(beat);
  }
  return tracks;
}

/** Stretches in which the beat of a section is not resting, in frames. */
function soundingBars(score: Score, index: number): Float64Array {
  const section = score.routine.sections[index]!;
  const { start, end } = score.performance.sections[index]!;
  const { bar } = meterOf(section);
  const rests = new Set(section.beatRests);
  const frames: number[] = [];
  let open = false;
  for (let at: number = start, number = 1; at < end; at += bar, number++) {
    const sounds = !rests.has(number);
    if (sounds !== open) frames.push(score.frameAt(at, "straight"));
    open = sounds;
  }
  if (open) frames.push(score.frameAt(end, "straight"));
  // A beat that goes on from the section before is open already.
  if (section.beatContinues === true && !rests.has(1)) frames[0] = frames[0]! - OPENING_FRAMES;
  return Float64Array.from(frames);
}
