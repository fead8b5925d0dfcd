/** Where the metronome and the two hands' groups click. */
import { meterOf } from "../time/meter.ts";
import type { ClickKind } from "./clicks.ts";
import type { Score, Strike, Window } from "./inFrames.ts";

export function clicksIn(score: Score, window: Window): Strike[] {
  const strikes: Strike[] = [];
  const add = (kind: ClickKind, position: number, swung: "beat" | "hands"): void => {
    if (position < window.from || position > window.to) return;
    const sound = score.sounds.clicks[kind];
    if (sound === null) return;
    const frame = Math.round(score.frameAt(position, swung));
    strikes.push({ frame, until: Number.POSITIVE_INFINITY, left: sound, right: sound, gain: 1 });
  };
  for (const index of window.sections) {
    const { start, end, performance } = score.performance.sections[index]!;
    const { bar, beat } = meterOf(score.routine.sections[index]!);
    // The lead-in is counted in the first section's metre.
    const begin = index === 0 ? 0 : start;
    const first = Math.max(0, Math.floor((window.from - begin) / beat));
    for (let at = begin + first * beat; at < Math.min(end, window.to); at += beat) {
      add((at - begin) % bar === 0 ? "bar" : "beat", at, "beat");
    }
    for (const { recordGroups, faderGroups } of performance.placed) {
      for (const at of recordGroups) add("record", start + at, "hands");
      for (const at of faderGroups) add("fader", start + at, "hands");
    }
  }
  return strikes
    .sort((a, b) => a.frame - b.frame)
    .filter(({ frame, left }) => frame < window.endFrame && frame + left.length > window.firstFrame);
}
