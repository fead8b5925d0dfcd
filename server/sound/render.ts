/**
 * Renders any range of a routine at 48 kHz to separate channels. What comes out depends on the frame alone: the
 * same samples however the range is split, forward or in leaps.
 */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Timeline } from "../time/timeline.ts";
import { gate, openingAt } from "./gate.ts";
import { createScore, type Sounds, STRETCH, type Strike, stretches, type Track } from "./inFrames.ts";
import { RATE } from "./rate.ts";
import { createRecord } from "./record.ts";
import { CELL } from "./voice.ts";
import { leadingPlayer } from "./placed.ts";

export type Stereo = readonly [left: Float32Array, right: Float32Array];

/** Channels of a block; each array long enough for it. What stands in them is overwritten. */
export interface Channels {
  /** The leading player's record before the fader. */
  readonly scratch: Stereo;
  /** The leading player's fader, a gain of 0 to 1. */
  readonly fader: Float32Array;
  /** All other players, each after their own fader. */
  readonly others: Stereo;
  readonly beat: Stereo;
  readonly clicks: Stereo;
}

export interface RenderOptions {
  /** Playing speed as tempo, 0.25 to 2: musical time stretches, and the hands go with it. Default 1. */
  readonly speed?: number;
  /** Whose record and fader stand in `scratch` and `fader`; the lowest player unless said. */
  readonly player?: number;
  /** Loudness follows the record's speed. Default true. */
  readonly cartridge?: boolean;
  /** The record's faint surface. Default true. */
  readonly surface?: boolean;
}

export interface Renderer {
  /** Frames from the start of the routine, lead-in included, to its end. Frames outside are rendered too. */
  readonly frames: number;
  /** Renders `frames` frames from frame `start` (a whole number, which may be negative) into `out`, from `at` on. */
  block(start: number, frames: number, out: Channels, at?: number): void;
}

const stereo = (frames: number): Stereo => [new Float32Array(frames), new Float32Array(frames)];

/** Room for blocks of up to `frames` frames. */
export const newChannels = (frames: number): Channels => ({
  scratch: stereo(frames),
  fader: new Float32Array(frames),
  others: stereo(frames),
  beat: stereo(frames),
  clicks: stereo(frames),
});

/** Room for a track before its fader, and its gains: of no use beyond a call, so one serves all renderers. */
const before = stereo(STRETCH);
const gains = new Float32Array(STRETCH);

/** A new renderer costs little: what it plays is worked out when it is first asked for. */
export function createRenderer(
  routine: Routine,
  performance: Performance,
  timeline: Timeline,
  sounds: Sounds,
  { speed = 1, player, cartridge = true, surface = true }: RenderOptions = {},
): Renderer {
  const score = createScore(routine, performance, timeline, sounds, speed);
  const stretchAt = stretches(score);
  const record = createRecord({ cartridge, surface, platter: score.platter });
  const recordedBeat = createRecord({ cartridge: false, surface: false, platter: score.platter });
  const leading = player ?? leadingPlayer(performance);

  function fader({ openings }: Track, start: number, frames: number, out: Float32Array, at: number): void {
    // On the grid of cells, so that a fade is found the same way however the range is split.
    const first = openingAt(openings, start - (start % CELL));
    for (let done = 0; done < frames; ) {
      const count = Math.min(frames - done, CELL - ((start + done) % CELL));
      gate(openings, first, start + done, count, out, at + done);
      done += count;
    }
  }

  function behindFader(
    play: typeof record,
    track: Track,
    start: number,
    frames: number,
    out: Stereo,
    at: number,
  ): void {
    const [left, right] = before;
    left.fill(0, 0, frames);
    right.fill(0, 0, frames);
    play(track.moves, start, frames, left, right, 0);
    fader(track, start, frames, gains, 0);
    for (let i = 0; i < frames; i++) {
      out[0][at + i] = out[0][at + i]! + left[i]! * gains[i]!;
      out[1][at + i] = out[1][at + i]! + right[i]! * gains[i]!;
    }
  }

  /** Within one stretch. */
  function part(start: number, frames: number, out: Channels, at: number): void {
    const stretch = stretchAt(Math.floor(start / STRETCH));
    for (const track of stretch.players) {
      if (track.player === leading) {
        record(track.moves, start, frames, out.scratch[0], out.scratch[1], at);
        fader(track, start, frames, out.fader, at);
      } else behindFader(record, track, start, frames, out.others, at);
    }
    for (const track of stretch.recorded) behindFader(recordedBeat, track, start, frames, out.beat, at);
    strike(stretch.strikes, start, frames, out.beat, at);
    strike(stretch.clicks, start, frames, out.clicks, at);
  }

  return {
    frames: Math.round((performance.endSeconds * RATE) / speed),
    block(start, frames, out, at = 0) {
      clear(out, at, at + frames);
      for (let done = Math.max(0, -start); done < frames; ) {
        const frame = start + done;
        const count = Math.min(frames - done, STRETCH - (frame % STRETCH));
        part(frame, count, out, at + done);
        done += count;
      }
    },
  };
}

/** Silences frames `from` to `to` (not included). */
export function clear({ fader, scratch, others, beat, clicks }: Channels, from: number, to: number): void {
  fader.fill(0, from, to);
  for (let side = 0; side < 2; side++) {
    scratch[side]!.fill(0, from, to);
    others[side]!.fill(0, from, to);
    beat[side]!.fill(0, from, to);
    clicks[side]!.fill(0, from, to);
  }
}

/** Frames over which a sound that is damped fades. */
const DAMPED = 240;

function strike(strikes: readonly Strike[], start: number, frames: number, out: Stereo, at: number): void {
  for (const { frame, until, left, right, gain } of strikes) {
    if (frame >= start + frames) return;
    const end = Math.min(start + frames, frame + left.length, until + DAMPED);
    for (let i = Math.max(start, frame); i < end; i++) {
      const loud = i < until ? gain : gain * (1 - (i - until) / DAMPED);
      out[0][at + i - start] = out[0][at + i - start]! + loud * left[i - frame]!;
      out[1][at + i - start] = out[1][at + i - start]! + loud * right[i - frame]!;
    }
  }
}
