/** Which frame of the play, and which place in the music, comes out of the loudspeaker at any moment. */
import type { BlockHead } from "../../schemas/soundBlock.ts";
import { SAMPLE_RATE } from "../../schemas/sound.ts";
import { extraLatency } from "../state/settings.ts";
import { Course, type Heard } from "./course.ts";
import { output } from "./output.ts";
import { OutputClock } from "./outputClock.ts";
import { playing } from "./playing.ts";
import type { FromWorklet } from "./workletMessages.ts";

let report: FromWorklet | null = null;
const course = new Course();
const outputClock = new OutputClock();

export function takeReport(said: FromWorklet): void {
  report = said;
  seeStamp();
}
export const takeHead = (head: BlockHead): void => course.add(head);
/** No play goes on, or another one begins. */
export function forgetPlay(): void {
  report = null;
  course.clear();
}

/** Sees where the output's clock stands. */
export function seeStamp(): void {
  const stamp = output()?.getOutputTimestamp();
  if (stamp?.contextTime !== undefined && stamp.performanceTime !== undefined)
    outputClock.see(stamp.contextTime, stamp.performanceTime);
}
export const forgetStamps = (): void => outputClock.forget();

/** The frame of the play that is heard at a moment (of `performance.now()`), now unless said; null: none. */
export function frameNow(at = performance.now()): number | null {
  const context = output();
  if (context === null || report === null || !playing.value) return null;
  const stamp = context.getOutputTimestamp();
  const since = stamp.performanceTime === undefined ? 0 : (at - stamp.performanceTime) / 1000;
  // Where the browser gives no stamp yet, what was rendered less the latency it states.
  const time =
    stamp.contextTime === undefined || stamp.contextTime === 0
      ? context.currentTime - statedLatency(context)
      : stamp.contextTime + since;
  const frame = report.frame + (time - extraLatency.value / 1000) * SAMPLE_RATE - report.contextFrame;
  return Math.max(0, Math.min(frame, report.frame + report.ahead));
}
/** What is heard at a moment (of `performance.now()`), now unless said. */
export function heardNow(at = performance.now()): Heard | null {
  const frame = frameNow(at);
  return frame === null ? null : course.at(frame);
}

/** Milliseconds of `performance.now()` at which a frame of the play is heard, without the jitter of stamps. */
export function timeOf(frame: number): number | null {
  if (report === null || !playing.value) return null;
  return outputClock.at((frame - report.frame + report.contextFrame) / SAMPLE_RATE);
}
/** Frame of the play at which the music begins, after the count-in; null: not known yet. */
export const beginsAt = (): number | null => course.begins;

/** Seconds. */
const statedLatency = ({ outputLatency, baseLatency }: AudioContext): number => outputLatency || baseLatency;

/** The sound in hand, and the delay that the browser states, in milliseconds; null before the first play. */
export function soundFigures(): { ahead: number; latency: number } | null {
  const context = output();
  if (context === null || report === null) return null;
  return { ahead: (report.ahead / SAMPLE_RATE) * 1000, latency: statedLatency(context) * 1000 };
}
