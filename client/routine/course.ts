/** The routine over its seconds: its sections, its tempo, and how many sounds a second are heard. */
import { soundStarts } from "../../schemas/packed.ts";
import { unitsOfText } from "../parts/music.ts";
import { secondsInto } from "../parts/seconds.ts";
import type { Opened } from "../state/opened.ts";

export interface Stretch {
  readonly id: string;
  readonly name: string;
  /** Seconds. */
  readonly from: number;
  readonly to: number;
  /** Quarters a minute at both ends. */
  readonly tempo: readonly [number, number];
  /** Sounds of the record, all players'. */
  readonly sounds: number;
}

export interface Course {
  readonly seconds: number;
  readonly stretches: readonly Stretch[];
  /** Seconds of each count, and sounds a second in it. */
  readonly every: number;
  readonly density: readonly number[];
}

const QUARTER = unitsOfText("1/4");
/** Counts of the whole routine at most. */
const COUNTS = 240;

export function courseOf({ routine, performance }: Opened): Course {
  const seconds = performance.endSeconds;
  const every = Math.max(1, Math.ceil(seconds / COUNTS));
  const counts = new Array<number>(Math.ceil(seconds / every)).fill(0);
  const stretches = performance.sections.flatMap((timed, index): Stretch[] => {
    const section = routine.sections[index];
    if (section === undefined) return [];
    const { tempo } = section;
    const starts = soundStarts(timed.performance);
    const length = timed.performance.length / QUARTER;
    for (const start of starts) {
      // A pickup sounds in the time of the section before; here it is counted at its owner's start.
      const at = timed.startSeconds + secondsInto(tempo, Math.max(0, start / QUARTER), length);
      const count = Math.min(counts.length - 1, Math.floor(at / every));
      counts[count] = (counts[count] ?? 0) + 1;
    }
    return [
      {
        id: section.id,
        name: section.name ?? section.id,
        from: timed.startSeconds,
        to: timed.endSeconds,
        tempo: typeof tempo === "number" ? [tempo, tempo] : [tempo.from, tempo.to],
        sounds: starts.length,
      },
    ];
  });
  const density = counts.map((count, index) => count / Math.min(every, seconds - index * every || every));
  return { seconds, stretches, every, density };
}
