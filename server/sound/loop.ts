/**
 * A range of the routine, round and round. Its length in frames need not be whole: round k starts at the frame
 * nearest to k times the exact length, so that after any time it is where it should be to the sample.
 */
import { type Channels, newChannels, type Renderer } from "./render.ts";

/** Frames over which the end of a round gives way to the start of the next: 2 ms. */
const SEAM = 96;

export interface Loop extends Renderer {
  /** The frame of the inner renderer that is heard at a frame of the loop. */
  innerFrame(frame: number): number;
  /** The frame of the loop at which round `round` (from 0) starts. */
  roundStart(round: number): number;
}

/**
 * @param from where the range starts, frames of `inner`, not whole; @param length exact frames of a round, at least
 * 1. The frames of the loop count from its start; `frames` is Infinity.
 */
export function loopOf(inner: Renderer, from: number, length: number): Loop {
  const spare = newChannels(SEAM);
  const first = Math.round(from);
  const roundStart = (round: number): number => Math.round(round * length);
  function roundAt(frame: number): number {
    let round = Math.floor(frame / length);
    if (roundStart(round + 1) <= frame) round++;
    if (roundStart(round) > frame) round--;
    return round;
  }
  return {
    frames: Number.POSITIVE_INFINITY,
    roundStart,
    innerFrame: (frame) => first + frame - roundStart(roundAt(frame)),
    block(start, frames, out, at = 0) {
      for (let done = 0; done < frames; ) {
        const frame = start + done;
        const round = roundAt(frame);
        const begin = roundStart(round);
        const count = Math.min(frames - done, roundStart(round + 1) - frame);
        const into = frame - begin;
        inner.block(first + into, count, out, at + done);
        const seam = Math.min(count, SEAM - into);
        if (round > 0 && seam > 0) {
          // What would have come next fades out beneath, so that a note that rings across is not torn off.
          inner.block(first + into + begin - roundStart(round - 1), seam, spare);
          giveWay(spare, out, at + done, into, seam);
        }
        done += count;
      }
    },
  };
}

/** How much is left of the last round, by frames into the next. */
const FADE = Float64Array.from({ length: SEAM }, (_, into) => 0.5 + 0.5 * Math.cos((Math.PI * into) / SEAM));

function giveWay(before: Channels, out: Channels, at: number, into: number, frames: number): void {
  fade(before.fader, out.fader, at, into, frames);
  for (let side = 0; side < 2; side++) {
    fade(before.scratch[side]!, out.scratch[side]!, at, into, frames);
    fade(before.others[side]!, out.others[side]!, at, into, frames);
    fade(before.beat[side]!, out.beat[side]!, at, into, frames);
    fade(before.clicks[side]!, out.clicks[side]!, at, into, frames);
  }
}

function fade(before: Float32Array, out: Float32Array, at: number, into: number, frames: number): void {
  for (let i = 0; i < frames; i++) {
    out[at + i] = out[at + i]! + FADE[into + i]! * (before[i]! - out[at + i]!);
  }
}
