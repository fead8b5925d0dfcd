/** The openings of each player's fader in frames; where one ends exactly as the next starts, it stays open. */
import type { Openings } from "./gate.ts";
import type { Score, Window } from "./inFrames.ts";
import { placedBy } from "./placed.ts";

export function openingsIn(score: Score, window: Window): Map<number, Openings> {
  const byPlayer = new Map<number, { start: number; end: number }[]>();
  for (const index of window.sections) {
    const { start, performance } = score.performance.sections[index]!;
    const placed = placedBy(performance);
    for (const opening of performance.openings) {
      const from = start + opening.start;
      const to = start + opening.end;
      if (to < window.from || from > window.to) continue;
      const { player } = placed.get(opening.placement)!;
      const list = byPlayer.get(player) ?? [];
      if (list.length === 0) byPlayer.set(player, list);
      list.push({ start: from, end: to });
    }
  }
  const result = new Map<number, Openings>();
  for (const [player, list] of byPlayer) {
    list.sort((a, b) => a.start - b.start);
    const frames: number[] = [];
    let end = Number.NEGATIVE_INFINITY;
    for (const opening of list) {
      const closes = score.frameAt(opening.end, "hands");
      if (opening.start === end) frames[frames.length - 1] = closes;
      else frames.push(score.frameAt(opening.start, "hands"), closes);
      end = opening.end;
    }
    result.set(player, Float64Array.from(frames));
  }
  return result;
}
