/**
 * A range of the routine, round and round. Its length in frames need not be whole: round k starts at the frame
 * nearest to k times the exact length, so that after any time it is where it should be to the sample.
 */
import { newChannels, type Renderer } from "./render.ts";
import { slice } from "./swap.ts";

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
    block(start, frames, out) {
      for (let done = 0; done < frames; ) {
        const at = start + done;
        const round = roundAt(at);
        const begin = roundStart(round);
        const count = Math.min(frames - done, roundStart(round + 1) - at);
        const into = at - begin;
        const part = slice(out, done);
        inner.block(first + into, count, part);
        const seam = Math.min(count, SEAM - into);
        if (round > 0 && seam > 0) {
          // What would have come next fades out beneath, so that a note that rings across is not torn off.
          inner.block(first + into + begin - roundStart(round - 1), seam, spare);
          for (const name of ["scratch", "others", "beat", "clicks"] as const) {
            for (const side of [0, 1] as const) {
              const target = part[name][side];
              const source = spare[name][side];
              for (let i = 0; i < seam; i++)
                target[i] = target[i]! + fade(into + i) * (source[i]! - target[i]!);
            }
          }
          for (let i = 0; i < seam; i++) {
            part.fader[i] = part.fader[i]! + fade(into + i) * (spare.fader[i]! - part.fader[i]!);
          }
        }
        done += count;
      }
    },
  };
}

/** How much is left of the last round, so many frames into the next. */
const fade = (into: number): number => 0.5 + 0.5 * Math.cos((Math.PI * into) / SEAM);
