/** Where the record leaves a sample that does not repeat: beyond it there is silence. */
import { platterSpeed } from "../../schemas/rig.ts";
import type { RunsOut } from "../../schemas/facts.ts";
import type { SoundEvent } from "../../schemas/performance.ts";
import type { Rig, Sample } from "../../schemas/routine.ts";
import { repeatsEvery } from "../routine/lookups.ts";
import { isSame } from "./tolerance.ts";

/** Seconds of a built-in sample that does not repeat: one turn at 33 1/3 r/min (server/sound/samples.ts). */
export const BUILT_IN_SECONDS = 1.8;

/** Seconds of a sample's sound; null for a file that is not trimmed, of which the routine file does not say. */
function secondsOf({ builtIn, trim }: Sample): number | null {
  const whole = builtIn === undefined ? null : BUILT_IN_SECONDS;
  return trim === undefined ? whole : Math.min(trim.to, whole ?? trim.to) - trim.from;
}

/** @param sounds of one placement, in order */
export function runsOut(sample: Sample, rig: Rig | undefined, sounds: readonly SoundEvent[]): RunsOut | null {
  if (repeatsEvery(sample) > 0) return null;
  // The groove lies at the platter's own speed, whatever the pitch slider.
  const speed = platterSpeed(rig);
  const first = -(sample.cue ?? 0) * speed;
  const duration = secondsOf(sample);
  const last = duration === null ? Number.POSITIVE_INFINITY : first + duration * speed;
  for (const { start, from, to } of sounds) {
    const [low, high] = from < to ? [from, to] : [to, from];
    if (low < first && !isSame(low, first)) return { at: start, end: "start" };
    if (high > last && !isSame(high, last)) return { at: start, end: "end" };
  }
  return null;
}
