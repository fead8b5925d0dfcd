/** What a stretch of a routine should sound like: its onsets in seconds, the hands alone, and all else that is heard. */
import type { Onset, Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import type { Sounds } from "../sound/inFrames.ts";
import { DEFAULT_LEVELS } from "../sound/mix.ts";
import { RATE } from "../sound/rate.ts";
import { createRenderer, newChannels } from "../sound/render.ts";
import type { Timeline } from "../time/timeline.ts";

/** A sound that is meant. */
export interface Meant {
  /** Seconds from the start of the stretch, at the speed at which it is played. */
  readonly time: number;
  /** Seconds that it lasts. */
  readonly lasts: number;
  readonly onset: Onset;
  /** Index of its section, units from that section's start, and index of its placement. */
  readonly section: number;
  readonly at: Units;
  readonly placement: number;
}

export interface Stretch {
  /** Absolute positions in units; the end is not included. */
  readonly from: number;
  readonly to: number;
  /** As tempo: 0.25 to 2. */
  readonly speed: number;
  /** Whose hands are listened to; all others are heard beside the beat. */
  readonly player: number;
}

export interface Expected {
  /** Ascending in time. */
  readonly meant: readonly Meant[];
  /** One channel each, 48,000 a second, from the start of the stretch to its end. */
  readonly hands: Float32Array;
  readonly beside: Float32Array;
}

const BLOCK = 4096;

export function meantIn(
  performance: Performance,
  timeline: Timeline,
  { from, to, speed, player }: Stretch,
): Meant[] {
  const start = timeline.secondsAt(from, "straight");
  const meant: Meant[] = [];
  for (const [section, { start: base, performance: own }] of performance.sections.entries()) {
    const players = new Map(own.placed.map((placed) => [placed.placement, placed.player]));
    for (const { start: at, end, onset, placement } of own.sounds) {
      if (base + at < from || base + at >= to || players.get(placement) !== player) continue;
      const time = timeline.secondsAt(base + at, "hands");
      const lasts = (timeline.secondsAt(base + end, "hands") - time) / speed;
      meant.push({ time: (time - start) / speed, lasts, onset, section, at, placement });
    }
  }
  return meant.sort((a, b) => a.time - b.time);
}

/** @param sounds of the routine; what is missing in it is silent */
export function expectedOf(
  routine: Routine,
  performance: Performance,
  timeline: Timeline,
  sounds: Sounds,
  stretch: Stretch,
): Expected {
  const { speed, player } = stretch;
  const renderer = createRenderer(routine, performance, timeline, sounds, { speed, player });
  const frameOf = (position: number): number =>
    Math.round((timeline.secondsAt(position, "straight") * RATE) / speed);
  const from = frameOf(stretch.from);
  const length = frameOf(stretch.to) - from;
  const hands = new Float32Array(length);
  const beside = new Float32Array(length);
  const out = newChannels(BLOCK);
  for (let at = 0; at < length; at += BLOCK) {
    const count = Math.min(BLOCK, length - at);
    renderer.block(from + at, count, out);
    const { scratch, fader, others, beat } = out;
    for (let i = 0; i < count; i++) {
      hands[at + i] = DEFAULT_LEVELS.scratch * middle(scratch, i) * (fader[i] as number);
      beside[at + i] = DEFAULT_LEVELS.scratch * middle(others, i) + DEFAULT_LEVELS.beat * middle(beat, i);
    }
  }
  return { meant: meantIn(performance, timeline, stretch), hands, beside };
}

const middle = ([left, right]: readonly [Float32Array, Float32Array], at: number): number =>
  ((left[at] as number) + (right[at] as number)) / 2;
