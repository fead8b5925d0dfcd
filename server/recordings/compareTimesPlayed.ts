/** Times of keys, notes or controllers against what is meant; their lag is found by the fullest bin of all differences. */
import { comparedWith, evenPart, type RecordingCompared } from "./compareRecording.ts";
import type { Meant } from "./expected.ts";
import { match } from "./match.ts";
import { WINDOW } from "./score.ts";

/** Seconds: as far as a lag is looked for, and the width of a bin. */
const REACH = 0.25;
const BIN = 0.01;

export function compareTimesPlayed(meant: readonly Meant[], played: readonly number[]): RecordingCompared {
  const times = meant.map(({ time }) => time);
  const heard = [...played].sort((a, b) => a - b);
  const rough = roughLag(times, heard);
  const pairs = match(
    times,
    heard.map((time) => time - rough),
    WINDOW,
  );
  const lag = evenPart(
    pairs.map((pair) => (heard[pair.played] as number) - (times[pair.reference] as number)),
  );
  return comparedWith(meant, heard, lag, WINDOW, null);
}

/** The middle of the fullest three bins of all differences; of equally full ones the nearest to none. */
function roughLag(meant: readonly number[], heard: readonly number[]): number {
  const half = Math.round(REACH / BIN);
  const bins = new Float64Array(2 * half + 3);
  let first = 0;
  for (const time of meant) {
    while (first < heard.length && (heard[first] as number) < time - REACH) first++;
    for (let at = first; at < heard.length && (heard[at] as number) <= time + REACH; at++) {
      const bin = Math.round(((heard[at] as number) - time) / BIN) + half + 1;
      bins[bin] = (bins[bin] as number) + 1;
    }
  }
  const full = (bin: number): number => [-1, 0, 1].reduce((sum, by) => sum + (bins[bin + by] ?? 0), 0);
  let best = half + 1;
  for (let by = 1; by <= half; by++)
    for (const bin of [half + 1 - by, half + 1 + by]) if (full(bin) > full(best)) best = bin;
  return (best - half - 1) * BIN;
}
