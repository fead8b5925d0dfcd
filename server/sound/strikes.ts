/** The hits of a drum loop, as sounds that are struck at whole frames. */
import type { Score, Strike, Window } from "./inFrames.ts";

/** Keys of General MIDI's percussion map of which each ends the others' ringing: a foot on the hi-hat. */
const HI_HAT = new Set([42, 44, 46]);

/** Those that may be heard in the window, in order. The frame is rounded once from the exact time. */
export function strikesIn(score: Score, window: Window): Strike[] {
  const { kit } = score.sounds;
  const strikes: (Strike & { readonly key: number; until: number })[] = [];
  for (const index of window.sections) {
    const section = score.routine.sections[index]!;
    const beat = score.routine.beats.find(({ id }) => id === section.beat);
    if (beat?.recorded !== undefined && score.sounds.beats.has(beat.id)) continue;
    const { start, performance } = score.performance.sections[index]!;
    for (const { at, key, velocity } of performance.beat) {
      const position = start + at;
      if (position < window.from || position > window.to) continue;
      const frame = Math.round(score.frameAt(position, "beat"));
      const { left, right, gain } = kit.hit(key, velocity);
      strikes.push({ key, frame, until: Number.POSITIVE_INFINITY, left, right, gain });
    }
  }
  strikes.sort((a, b) => a.frame - b.frame);
  let ringing: (typeof strikes)[number] | undefined;
  for (const strike of strikes) {
    if (!HI_HAT.has(strike.key)) continue;
    if (ringing !== undefined && ringing.frame < strike.frame) ringing.until = strike.frame;
    ringing = strike;
  }
  return strikes.filter(
    ({ frame, left }) => frame < window.endFrame && frame + left.length > window.firstFrame,
  );
}
