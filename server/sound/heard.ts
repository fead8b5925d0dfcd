/**
 * The picture of what is heard: how loud the records are after their faders, in columns of each bar. A column is a
 * part of the bar, not of time: where swing bends the hands it is bent along, so that a cut on the grid stands there.
 */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { HEARD_COLUMNS } from "../../schemas/sound.ts";
import { timelineOf } from "../time/timeline.ts";
import type { Sounds } from "./inFrames.ts";
import type { Kit } from "./kit.ts";
import { RATE } from "./rate.ts";
import { createRenderer, newChannels } from "./render.ts";
import type { Tables } from "./tables.ts";

/** A section and all that may be heard in its time: what it needs of the routine, and no more. */
export interface HeardJob {
  readonly routine: Routine;
  readonly performance: Performance;
  /** Index of the section in these. */
  readonly index: number;
  readonly samples: ReadonlyMap<string, Tables>;
}

/** The section before, whose openings may last into it, and those after whose pickups reach back. No beats. */
export function heardJob(
  routine: Routine,
  performance: Performance,
  index: number,
  samples: ReadonlyMap<string, Tables>,
): HeardJob {
  const { sections } = performance;
  const from = Math.max(0, index - 1);
  const { end } = sections[index]!;
  let to = index + 1;
  for (let later = to; later < sections.length; later++) {
    const { start, performance: section } = sections[later]!;
    const first = section.placed.reduce((least, one) => Math.min(least, one.start), 0);
    if (later === index + 1 || start + first < end) to = later + 1;
    if (start - end > 999 * section.bar) break;
  }
  return {
    routine: { ...routine, patterns: [], beats: [], sections: routine.sections.slice(from, to) },
    performance: {
      ...performance,
      sections: sections
        .slice(from, to)
        .map((one) => ({ ...one, performance: { ...one.performance, beat: [] } })),
    },
    index: index - from,
    samples,
  };
}

/** Nothing is struck. */
const NO_KIT: Kit = {
  longest: 0,
  hit: () => ({ left: new Float32Array(0), right: new Float32Array(0), gain: 0 }),
};
const NO_CLICKS = { bar: null, beat: null, record: null, fader: null };
const BLOCK = 4096;
/** The amplitude that fills a row: a hard stroke of a sample at full scale. */
const FULL = 2.5;

/**
 * HEARD_COLUMNS values a bar, lead-in rows first: 0 for silence to 255, the square root of the largest amplitude, so
 * that soft strokes are seen too.
 *
 * @param between called every few milliseconds
 */
export function heardPeaks(
  { routine, performance, index, samples }: HeardJob,
  between: () => void = () => {},
): Uint8Array {
  const timeline = timelineOf(routine.sections, performance.sections);
  const sounds: Sounds = { samples, beats: new Map(), kit: NO_KIT, clicks: NO_CLICKS };
  const renderer = createRenderer(routine, performance, timeline, sounds, { surface: false });
  const { start, end, performance: section } = performance.sections[index]!;
  const first = index === 0 ? 0 : start;
  const columns = Math.round((end - first) / section.bar) * HEARD_COLUMNS;
  const edge = (column: number): number =>
    Math.round(timeline.secondsAt(first + ((end - first) * column) / columns, "hands") * RATE);
  const peaks = new Uint8Array(columns);
  const channels = newChannels(BLOCK);
  const { scratch, others, fader } = channels;
  let rendered = edge(0);
  let from = rendered;
  let most = 0;
  let column = 0;
  let next = edge(1);
  while (column < columns) {
    if (from === rendered) {
      between();
      renderer.block(from, BLOCK, channels);
      rendered += BLOCK;
    }
    const base = rendered - BLOCK;
    const until = Math.min(next, rendered);
    for (let i = from - base; i < until - base; i++) {
      const gain = fader[i]!;
      most = Math.max(
        most,
        Math.abs(scratch[0][i]! * gain + others[0][i]!),
        Math.abs(scratch[1][i]! * gain + others[1][i]!),
      );
    }
    from = until;
    if (from < next) continue;
    peaks[column] = Math.round(255 * Math.min(1, Math.sqrt(most / FULL)));
    most = 0;
    column++;
    next = edge(column + 1);
  }
  return peaks;
}
