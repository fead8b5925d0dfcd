/**
 * What was played against what was meant. The program knows what it should sound like, so each sound is looked for by
 * its own rendering (listen.ts), and what else begins is found by a published detector (extras.ts); both together are
 * then matched as the published onset measure does. A constant lag (latency, or the player's even earliness) is told
 * apart from unsteadiness.
 */
import { spreadOf } from "../../schemas/spread.ts";
import type { Expected, Meant } from "./expected.ts";
import { extrasIn } from "./extras.ts";
import { listen } from "./listen.ts";
import { median } from "./model.ts";
import { type Progress, shareOf, untold } from "./progress.ts";
import { RATE } from "../sound/rate.ts";
import { scoreOf, WINDOW } from "./score.ts";

export interface Heard extends Meant {
  /** Played less meant, the constant lag taken off; below 0 is early. Null where it was not heard. */
  readonly errorMs: number | null;
}

export interface RecordingCompared {
  readonly precision: number;
  readonly recall: number;
  readonly f: number;
  readonly matched: number;
  /** How much later (above 0) the whole recording is than it should be; null where nothing fits. */
  readonly lagMs: number | null;
  /** How much later the beat is in the recording; null where it is not heard. */
  readonly beatLagMs: number | null;
  /** Of the errors of the matched, as `spreadOf` says. */
  readonly spreadMs: number | null;
  readonly sounds: readonly Heard[];
  /** Onsets that belong to no sound, seconds from the start of the stretch, the lag taken off. */
  readonly extra: readonly number[];
  /** Seconds from the start of the stretch up to which it is judged; null where the recording holds all that is meant. */
  readonly upTo: number | null;
}

/** The part of the time that listening takes; the rest goes into what else begins. */
const LISTENED = 0.9;

export interface CompareOptions {
  readonly window?: number;
  readonly reach?: number;
  readonly progress?: Progress;
}

/** Seconds of a sound that must be in the recording for it to be judged: all of it where it is shorter. */
const ENOUGH = 0.05;

/**
 * What is meant after the end of the recording was not missed: nobody knows whether it was played. And what goes on
 * after the end of the stretch is not extra.
 *
 * @param samples the recording, one channel, 48,000 a second, begun within `reach` seconds of the stretch's start
 * @param window seconds, half width, inclusive
 */
export function compareRecording(
  expected: Expected,
  samples: Float32Array,
  { window = WINDOW, reach = 2, progress = untold }: CompareOptions = {},
): RecordingCompared {
  const end = samples.length / RATE;
  const listened = listen(beginning(expected, end + reach), samples, reach, shareOf(progress, 0, LISTENED));
  // Elsewhere nothing was heard; but the first sound may have begun a moment before the recording.
  const inside = (one: number | null): one is number =>
    one !== null && one >= -1000 * ENOUGH && one <= 1000 * end;
  const located = listened.located.map((one) => (inside(one) ? one / 1000 : null));
  const placed = located.filter((one) => one !== null);
  const extras = extrasIn(listened, placed);
  const lag = evenPart(
    expected.meant.flatMap(({ time }, index) => {
      const one = located[index];
      return one == null ? [] : [one - time];
    }),
  );
  const late = lag ?? listened.beatLag ?? 0;
  const isIn = ({ time, lasts }: Meant): boolean => time + Math.min(lasts, ENOUGH) <= end - late;
  const after = expected.meant.find((sound) => !isIn(sound));
  const upTo = after === undefined ? null : Math.max(0, Math.min(after.time, end - late));
  const until = upTo ?? expected.hands.length / RATE;
  const meant = upTo === null ? expected.meant : expected.meant.filter(({ time }) => time < upTo);
  const heard = [
    ...located.slice(0, meant.length).filter((one) => one !== null),
    ...extras.filter((time) => time - late < until),
  ];
  return { ...comparedWith(meant, heard, lag, window, listened.beatLag), upTo };
}

/** What is meant in the first so many seconds. */
function beginning(expected: Expected, seconds: number): Expected {
  const length = Math.round(seconds * RATE);
  if (length >= expected.hands.length) return expected;
  return {
    meant: expected.meant.filter(({ time }) => time < seconds),
    hands: expected.hands.subarray(0, length),
    beside: expected.beside.subarray(0, length),
  };
}

/** Seconds around the middle of all latenesses beyond which one is a slip, and says nothing of the lag. */
const SLIP = 0.035;

/** The lateness that all have in common: their mean, slips left out. Null of an empty list. */
export function evenPart(late: number[]): number | null {
  const middle = median(late);
  if (middle === undefined) return null;
  const near = late.filter((one) => Math.abs(one - middle) <= SLIP);
  return near.reduce((sum, one) => sum + one, 0) / near.length;
}

/**
 * Times that are known already (of keys, notes or controllers) against what was meant.
 *
 * @param heard seconds from the start of the stretch, in any order
 * @param lag seconds that all of it is late; null where nothing is known of it
 */
export function comparedWith(
  meant: readonly Meant[],
  heard: readonly number[],
  lag: number | null,
  window: number,
  beatLag: number | null,
): RecordingCompared {
  const played = heard.map((time) => time - (lag ?? 0)).sort((a, b) => a - b);
  const times = meant.map(({ time }) => time);
  const { pairs, matched, precision, recall, f } = scoreOf(times, played, window);
  const errors = new Map(
    pairs.map(({ reference, played: at }) => [
      reference,
      1000 * ((played[at] as number) - (times[reference] as number)),
    ]),
  );
  const used = new Set(pairs.map((pair) => pair.played));
  return {
    precision,
    recall,
    f,
    matched,
    lagMs: lag === null || matched === 0 ? null : 1000 * lag,
    beatLagMs: beatLag === null ? null : 1000 * beatLag,
    spreadMs: spreadOf([...errors.values()]),
    sounds: meant.map((sound, index) => ({ ...sound, errorMs: errors.get(index) ?? null })),
    extra: played.filter((_, index) => !used.has(index)),
    upTo: null,
  };
}
