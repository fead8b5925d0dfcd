/** The drum loop laid over a section. */
import type { BeatEvent } from "../../schemas/performance.ts";
import { type Beat, DEFAULT_VELOCITY } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { parseFraction, unitsOf } from "../time/fraction.ts";

const stepOf = (beat: Beat): number => unitsOf(parseFraction(beat.step)) as number;

export const beatLength = (beat: Beat): Units => (stepOf(beat) * beat.steps) as Units;

/** How many hits a round of it has. */
export const hitsIn = ({ hits }: Beat): number => hits.reduce((sum, { at }) => sum + at.length, 0);

/**
 * Hits in units from the section's start, sorted by time, then key.
 *
 * @param phase units into the beat at which the section starts
 * @param rests bars of the section, from 1, in which it is silent; its phase goes on
 */
export function compileBeat(
  beat: Beat,
  phase: number,
  length: Units,
  bar: Units,
  rests: readonly number[] = [],
): BeatEvent[] {
  const step = stepOf(beat);
  const round = step * beat.steps;
  const silent = new Set(rests);
  const once: BeatEvent[] = beat.hits
    .flatMap(({ key, at, velocity = DEFAULT_VELOCITY }) =>
      at.map((steps) => ({ at: (steps * step) as Units, key, velocity })),
    )
    .sort((a, b) => a.at - b.at || a.key - b.key);
  const hits: BeatEvent[] = [];
  // However many rounds of nothing.
  if (once.length === 0) return hits;
  for (let turn = -phase; turn < length; turn += round) {
    for (const hit of once) {
      const at = turn + hit.at;
      if (at < 0 || at >= length || silent.has(Math.floor(at / bar) + 1)) continue;
      hits.push({ at: at as Units, key: hit.key, velocity: hit.velocity });
    }
  }
  return hits;
}
