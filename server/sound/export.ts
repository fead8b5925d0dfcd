/** A routine or a section of it as a WAV file, in pieces, so that a long one takes no more memory than a short one. */

import { createLimiter } from "../../schemas/limiter.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { BALANCE } from "../../schemas/sound.ts";
import type { Timeline } from "../time/timeline.ts";
import type { Sounds } from "./inFrames.ts";
import type { Meter } from "./loudness.ts";
import { markersOf, tempos } from "./markers.ts";
import { DEFAULT_LEVELS, type Levels, mix } from "./mix.ts";
import { RATE } from "./rate.ts";
import { createRenderer, newChannels, type RenderOptions } from "./render.ts";
import { encodeSamples, type WavOptions, wavEnd, wavStart } from "./wav.ts";

export const PARTS = ["mix", "scratch", "beat", "click"] as const;
/** What a file holds: everything but the clicks, or one of the parts at its level in the mix. */
export type Part = (typeof PARTS)[number];

const { scratch, beat, clicks } = BALANCE;
const LEVELS: Readonly<Record<Part, Levels>> = {
  mix: DEFAULT_LEVELS,
  scratch: { scratch, beat: 0, clicks: 0 },
  beat: { scratch: 0, beat, clicks: 0 },
  click: { scratch: 0, beat: 0, clicks },
};

/** What is to be written. */
export interface WavWish extends Pick<RenderOptions, "surface"> {
  readonly part: Part;
  /** Id of the only section to render; the whole routine where left out. */
  readonly section?: string;
}

export interface WavExport {
  readonly frames: number;
  /** Bytes of the whole file. */
  readonly size: number;
  /** The file, piece by piece; a meter that is given hears what is written. */
  pieces(meter?: Meter): Generator<Uint8Array>;
}

const BLOCK = 4096;
/** Frames over which the very end fades, so that what still rings is not torn off: 2 ms. */
const LAST = 96;

/**
 * @param section id of the section to render, from its first bar to its last; the whole routine, lead-in included,
 * where it is undefined. The file is as long as the music, to the nearest frame.
 * @throws RangeError where there is no such section
 */
export function exportWav(
  routine: Routine,
  performance: Performance,
  timeline: Timeline,
  sounds: Sounds,
  { part, section, ...options }: WavWish,
): WavExport {
  const renderer = createRenderer(routine, performance, timeline, sounds, options);
  const { from, to } = rangeOf(performance, section);
  const wav: WavOptions = {
    rate: RATE,
    channels: 2,
    frames: to - from,
    title: routine.title,
    comment: tempos(routine, section),
    markers: markersOf(routine, performance, timeline, section, from),
  };
  const start = wavStart(wav);
  const end = wavEnd(wav);
  function* pieces(meter?: Meter): Generator<Uint8Array> {
    yield start;
    const channels = newChannels(BLOCK);
    const out = [new Float32Array(BLOCK), new Float32Array(BLOCK)] as const;
    const limiter = createLimiter();
    let late = limiter.delay;
    let left = wav.frames;
    for (let at = from; left > 0; at += BLOCK) {
      renderer.block(at, BLOCK, channels);
      mix(channels, LEVELS[part], BLOCK, out);
      limiter.process(out[0], out[1], BLOCK);
      const count = Math.min(left, BLOCK - late);
      const heard = out.map((side) => side.subarray(late, late + count));
      for (let i = Math.max(0, left - LAST); i < count; i++) {
        for (const side of heard) side[i] = (side[i]! * (left - 1 - i)) / LAST;
      }
      meter?.add(heard[0]!, heard[1]!, count);
      const bytes = new Uint8Array(count * 6);
      encodeSamples(heard, count, bytes);
      yield bytes;
      left -= count;
      late = 0;
    }
    if (end.length > 0) yield end;
  }
  return { frames: wav.frames, size: start.length + wav.frames * 6 + end.length, pieces };
}

/** Frames of a section, or of the whole. */
function rangeOf(performance: Performance, id: string | undefined): { from: number; to: number } {
  if (id === undefined) return { from: 0, to: Math.round(performance.endSeconds * RATE) };
  const section = performance.sections.find((one) => one.performance.id === id);
  if (section === undefined) throw new RangeError(`There is no section "${id}".`);
  return { from: Math.round(section.startSeconds * RATE), to: Math.round(section.endSeconds * RATE) };
}
