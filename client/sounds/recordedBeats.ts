/** What a recorded beat's numbers mean for each other: tempo, first beat, length. Pure. */
import type { Section } from "../../schemas/routine.ts";

/** As near to a whole tempo, a found one is that: 1 in 10,000 is a millisecond in ten seconds. */
const WHOLE = 1e-4;

/** As the file keeps it: quarter notes a minute to three places, within what a routine takes. */
export function tidyTempo(tempo: number): number {
  const whole = Math.round(tempo);
  const near = Math.abs(tempo - whole) <= WHOLE * tempo ? whole : Math.round(tempo * 1000) / 1000;
  return Math.min(400, Math.max(20, near));
}
export const tidySeconds = (seconds: number): number => Math.max(0, Math.round(seconds * 10_000) / 10_000);

/**
 * Whole sixteenths from the first beat to the end of the sound; whole bars where there is one.
 * @param bar sixteenths in a bar of the metre that it is played in
 */
export function sixteenthsIn(seconds: number, firstBeat: number, tempo: number, bar = 16): number {
  const sixteenths = ((seconds - firstBeat) * tempo * 4) / 60;
  // A loop that is cut a hair short is meant whole: a thirty-second is forgiven.
  if (sixteenths >= bar - 0.5) return Math.floor((sixteenths + 0.5) / bar) * bar;
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

/** The section that lends a beat its metre: the first that plays it, else the first of all. */
export const homeOfBeat = (sections: readonly Section[], beat: string): Section | undefined =>
  sections.find((one) => one.beat === beat) ?? sections[0];
