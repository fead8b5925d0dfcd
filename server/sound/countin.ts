/** Bars that are counted before the playing starts. */
import type { ClickKind, Clicks } from "./clicks.ts";
import { type Channels, clear } from "./render.ts";

export interface CountIn {
  /** Frames of the whole, at the end of which the playing starts. */
  readonly frames: number;
  /** Overwrites `frames` frames from frame `start` (0 is the first beat counted). */
  block(start: number, frames: number, out: Channels): void;
}

/**
 * @param beats beats to count, @param beatsInBar how many make a bar; the first of a bar has its own sound
 * @param beatFrames exact frames of a beat at the tempo and playing speed of where the playing starts
 */
export function countIn(beats: number, beatsInBar: number, beatFrames: number, clicks: Clicks): CountIn {
  const strikes = Array.from({ length: beats }, (_, i) => {
    const kind: ClickKind = i % beatsInBar === 0 ? "bar" : "beat";
    return { frame: Math.round(i * beatFrames), sound: clicks[kind] };
  });
  return {
    frames: Math.round(beats * beatFrames),
    block(start, frames, out) {
      clear(out, 0, frames);
      for (const { frame, sound } of strikes) {
        if (sound === null) continue;
        const end = Math.min(start + frames, frame + sound.length);
        for (let i = Math.max(start, frame); i < end; i++) {
          for (const side of out.clicks) side[i - start] = side[i - start]! + sound[i - frame]!;
        }
      }
    },
  };
}
