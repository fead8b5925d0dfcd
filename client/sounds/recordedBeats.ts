/** What a recorded beat's numbers mean for each other: tempo, first beat, length. Pure. */

/** As the file keeps it: quarter notes a minute to three places, within what a routine takes. */
export const tidyTempo = (tempo: number): number =>
  Math.min(400, Math.max(20, Math.round(tempo * 1000) / 1000));
export const tidySeconds = (seconds: number): number => Math.max(0, Math.round(seconds * 10_000) / 10_000);

/** Whole sixteenths from the first beat to the end of the sound; whole bars of four quarters where there is one. */
export function sixteenthsIn(seconds: number, firstBeat: number, tempo: number): number {
  const sixteenths = ((seconds - firstBeat) * tempo * 4) / 60;
  // A loop that is cut a hair short is meant whole: a thirty-second is forgiven.
  if (sixteenths >= 15.5) return Math.floor((sixteenths + 0.5) / 16) * 16;
  return Math.max(1, Math.floor(sixteenths + 0.5));
}

/** Seconds of each quarter note within the sound. */
export function beatsIn(seconds: number, firstBeat: number, tempo: number): number[] {
  const count = Math.floor(((seconds - firstBeat) * tempo) / 60) + 1;
  return Array.from({ length: Math.max(0, count) }, (_, index) => firstBeat + (index * 60) / tempo);
}

/** Taps further apart than this belong to another try, seconds. */
const PAUSE = 2;

/**
 * The tempo of even taps: quarter notes a minute, by the straight line that fits their times best (least squares).
 * @param times seconds, rising
 * @returns null for fewer than four taps since the last pause
 */
export function tappedTempo(times: readonly number[]): number | null {
  let start = 0;
  for (let index = 1; index < times.length; index++)
    if ((times[index] as number) - (times[index - 1] as number) > PAUSE) start = index;
  const run = times.slice(start);
  if (run.length < 4) return null;
  const middle = (run.length - 1) / 2;
  const mean = run.reduce((sum, time) => sum + time, 0) / run.length;
  let above = 0;
  let below = 0;
  for (const [index, time] of run.entries()) {
    above += (index - middle) * (time - mean);
    below += (index - middle) ** 2;
  }
  return tidyTempo(60 / (above / below));
}
