/** One renderer after another, without a click and without a lost beat: what an edit does to what is playing. */
import { type Channels, newChannels, type Renderer, type Stereo } from "./render.ts";

/** Frames of the crossfade: 5 ms. */
export const SWAP_FRAMES = 240;

/**
 * Plays `before` up to frame `at`, `after` from `at + SWAP_FRAMES` on, and an eased blend in between. Both count
 * frames alike. Keep the result only until the blend is over, then play `after` itself.
 */
export function swapAt(before: Renderer, after: Renderer, at: number): Renderer {
  const spare = newChannels(SWAP_FRAMES);
  return {
    frames: after.frames,
    block(start, frames, out) {
      const end = start + frames;
      const blendStart = Math.min(end, Math.max(start, at));
      const blendEnd = Math.min(end, Math.max(start, at + SWAP_FRAMES));
      if (blendEnd > start) before.block(start, blendEnd - start, out);
      if (blendStart === end) return;
      const blended = blendEnd - blendStart;
      if (blended > 0) {
        after.block(blendStart, blended, spare);
        each(out, spare, (target, source) => {
          for (let i = 0; i < blended; i++) {
            const part = 0.5 - 0.5 * Math.cos((Math.PI * (blendStart + i - at)) / SWAP_FRAMES);
            const k = blendStart - start + i;
            target[k] = target[k]! + part * (source[i]! - target[k]!);
          }
        });
      }
      if (blendEnd < end) after.block(blendEnd, end - blendEnd, slice(out, blendEnd - start));
    },
  };
}

function each(
  out: Channels,
  other: Channels,
  work: (target: Float32Array, source: Float32Array) => void,
): void {
  work(out.fader, other.fader);
  for (const name of ["scratch", "others", "beat", "clicks"] as const) {
    work(out[name][0], other[name][0]);
    work(out[name][1], other[name][1]);
  }
}

/** The same channels from frame `from` on. */
export function slice(out: Channels, from: number): Channels {
  const stereo = ([left, right]: Stereo): Stereo => [left.subarray(from), right.subarray(from)];
  return {
    scratch: stereo(out.scratch),
    fader: out.fader.subarray(from),
    others: stereo(out.others),
    beat: stereo(out.beat),
    clicks: stereo(out.clicks),
  };
}
