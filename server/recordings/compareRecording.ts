/**
 * What was played against what was meant. The detector's own habits (a turn is noticed later than a cut) must not be
 * blamed on the player, so the same detector listens to the program's rendering of the section first, and the two
 * hearings are compared. A constant lag (latency, or the player's even earliness) is told apart from unsteadiness.
 */
import type { Onset } from "../../schemas/performance.ts";
import { contourOf, laterBy } from "./align.ts";
import { match } from "./match.ts";
import { onsetsIn } from "./onsets.ts";

/** A sound that is meant; seconds from the start of the section. */
export interface Meant {
  readonly time: number;
  readonly onset: Onset;
  readonly placement: number;
}

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
  /** Of the errors: their standard deviation, the matched being the whole population. */
  readonly spreadMs: number | null;
  readonly sounds: readonly Heard[];
  /** Onsets that belong to no sound, seconds from the section's start by the recording's own clock. */
  readonly extra: readonly number[];
}

const BIN = 0.004;

/**
 * The shift that brings most of `heard` onto `meant`: the fullest bin of all differences within `reach`, each bin
 * taken with its neighbours, then the median of what it holds. Null where one list is empty.
 */
export function lagOf(meant: readonly number[], heard: readonly number[], reach: number): number | null {
  const bins = new Map<number, number[]>();
  let first = 0;
  for (const time of meant) {
    while (first < heard.length && (heard[first] as number) < time - reach) first++;
    for (let at = first; at < heard.length && (heard[at] as number) <= time + reach; at++) {
      const difference = (heard[at] as number) - time;
      const bin = Math.round(difference / BIN);
      const list = bins.get(bin);
      if (list === undefined) bins.set(bin, [difference]);
      else list.push(difference);
    }
  }
  let best: number[] = [];
  let closest = 0;
  for (const bin of bins.keys()) {
    const near = [-2, -1, 0, 1, 2].flatMap((by) => bins.get(bin + by) ?? []);
    // Of equally full bins the one nearest to no lag at all.
    if (near.length > best.length || (near.length === best.length && Math.abs(bin) < Math.abs(closest))) {
      best = near;
      closest = bin;
    }
  }
  return best.length === 0 ? null : (median(best) as number);
}

const median = (values: readonly number[]): number | undefined =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

export interface Listening {
  /** One channel at `rate` samples a second, from the start of the section. */
  readonly samples: Float32Array;
  readonly rate: number;
}

/**
 * @param meant ascending in time
 * @param rendered the program's own rendering of the section
 * @param played the recording, begun within `reach` seconds of the section's start
 * @param window seconds, half width, inclusive
 */
export function compareRecording(
  meant: readonly Meant[],
  rendered: Listening,
  played: Listening,
  { window = 0.05, reach = 2 }: { readonly window?: number; readonly reach?: number } = {},
): RecordingCompared {
  const reference = hearings(meant, onsetsIn(rendered.samples, rendered.rate));
  const heard = onsetsIn(played.samples, played.rate);
  const rough = lagOf(reference, heard, reach) ?? 0;
  const pairs = match(
    reference,
    heard.map((time) => time - rough),
    window,
  );
  const contours = [
    contourOf(rendered.samples, rendered.rate),
    contourOf(played.samples, played.rate),
  ] as const;
  const errors = new Map(
    pairs.map((pair) => {
      const coarse = (heard[pair.played] as number) - (reference[pair.reference] as number);
      return [pair.reference, laterBy(...contours, (meant[pair.reference] as Meant).time, coarse)];
    }),
  );
  const lag = median([...errors.values()]);
  const used = new Set(pairs.map((pair) => pair.played));
  const matched = pairs.length;
  const precision = heard.length === 0 ? 0 : matched / heard.length;
  const recall = meant.length === 0 ? 0 : matched / meant.length;
  const left = [...errors.values()].map((error) => error - (lag ?? 0));
  const mean = left.reduce((sum, error) => sum + error, 0) / matched;
  return {
    precision,
    recall,
    f: matched === 0 ? 0 : (2 * precision * recall) / (precision + recall),
    matched,
    lagMs: lag === undefined ? null : 1000 * lag,
    spreadMs:
      matched === 0
        ? null
        : 1000 * Math.sqrt(left.reduce((sum, error) => sum + (error - mean) ** 2, 0) / matched),
    sounds: meant.map((sound, index) => {
      const error = errors.get(index);
      return { ...sound, errorMs: error === undefined ? null : 1000 * (error - (lag ?? 0)) };
    }),
    extra: heard.filter((_, index) => !used.has(index)),
  };
}

/** When the detector hears each sound of the rendering; where it does not, when it hears others of its kind. */
function hearings(meant: readonly Meant[], onsets: readonly number[]): number[] {
  const times = meant.map(({ time }) => time);
  const delays = new Map(
    match(times, onsets, 0.04).map((pair) => [
      pair.reference,
      (onsets[pair.played] as number) - (times[pair.reference] as number),
    ]),
  );
  const usual = (kind: Onset): number =>
    median([...delays].filter(([index]) => meant[index]?.onset === kind).map(([, delay]) => delay)) ?? 0;
  const byKind = {
    cut: usual("cut"),
    turn: usual("turn"),
    restart: usual("restart"),
    "from-rest": usual("from-rest"),
  };
  let latest = Number.NEGATIVE_INFINITY;
  return meant.map(({ time, onset }, index) => {
    // The matcher needs them in order; two that lie close may be heard the other way about.
    latest = Math.max(latest, time + (delays.get(index) ?? byKind[onset]));
    return latest;
  });
}
