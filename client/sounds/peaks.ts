/** Least and greatest value of a sound in each of many equal stretches, for drawing: pure. */
import type { Sound } from "./decode.ts";

export interface Peaks {
  readonly least: Float32Array;
  readonly most: Float32Array;
}

/** Frames in a stretch of the prepared peaks, from which wide views are drawn. */
const COARSE = 256;
const prepared = new WeakMap<Sound, Peaks>();

function scan(sound: Sound, from: number, frames: number, count: number): Peaks {
  const least = new Float32Array(count);
  const most = new Float32Array(count);
  for (let index = 0; index < count; index++) {
    const start = Math.max(0, Math.floor(from + (index * frames) / count));
    const end = Math.min(
      sound.channels[0]?.length ?? 0,
      Math.max(start + 1, Math.floor(from + ((index + 1) * frames) / count)),
    );
    let low = 0;
    let high = 0;
    for (const channel of sound.channels) {
      for (let frame = start; frame < end; frame++) {
        const value = channel[frame] as number;
        if (value < low) low = value;
        else if (value > high) high = value;
      }
    }
    least[index] = low;
    most[index] = high;
  }
  return { least, most };
}

function coarse(sound: Sound): Peaks {
  let peaks = prepared.get(sound);
  if (peaks === undefined) {
    const count = Math.ceil((sound.channels[0]?.length ?? 0) / COARSE);
    peaks = scan(sound, 0, count * COARSE, count);
    prepared.set(sound, peaks);
  }
  return peaks;
}

/** @param from seconds; @param to seconds, not included; @param count stretches, a pixel each, say */
export function peaksOf(sound: Sound, from: number, to: number, count: number): Peaks {
  // Seconds of a whole number of frames may come out a hair less, and the last frame be left out.
  const first = Math.round(from * sound.rate);
  const frames = Math.round(to * sound.rate) - first;
  if (frames / count < COARSE) return scan(sound, first, frames, count);
  const all = coarse(sound);
  const least = new Float32Array(count);
  const most = new Float32Array(count);
  for (let index = 0; index < count; index++) {
    const start = Math.max(0, Math.floor((first + (index * frames) / count) / COARSE));
    const end = Math.max(start + 1, Math.ceil((first + ((index + 1) * frames) / count) / COARSE));
    for (let at = start; at < Math.min(end, all.least.length); at++) {
      least[index] = Math.min(least[index] as number, all.least[at] as number);
      most[index] = Math.max(most[index] as number, all.most[at] as number);
    }
  }
  return { least, most };
}
