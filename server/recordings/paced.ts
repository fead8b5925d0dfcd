/**
 * What is meant as it looks in the recording where a hand plays it faster or slower: as a record does, it rises in
 * pitch as it gains in speed, so its bands move up.
 */
import { BANDS, type Bands, EDGES } from "./bands.ts";
import type { Model, Surroundings } from "./model.ts";
import { logExpected } from "./model.ts";

/** Natural logs of pace from one to the next that is told apart. */
const APART = 0.08;
/** Numbers of paces go from −MOST to MOST. */
export const MOST = 10;

/** The number of a pace, how many times as fast as it is meant; 0 is as it is meant. */
export const numberOf = (pace: number): number => Math.round(Math.log(pace) / APART);
export const paceOf = (number: number): number => Math.exp(number * APART);

/** From which bands of the rendering a band comes, and what part of its power. */
type Sources = readonly (readonly [band: number, part: number])[];

function sourcesAt(pace: number): Sources[] {
  return Array.from({ length: BANDS }, (_, band) => {
    // A bin reaches half a bin to either side of itself.
    const low = (EDGES[band]! - 0.5) / pace;
    const high = (EDGES[band + 1]! - 0.5) / pace;
    const found: [number, number][] = [];
    for (let other = 0; other < BANDS; other++) {
      const from = other === 0 ? 0 : EDGES[other]! - 0.5;
      const to = other === BANDS - 1 ? Number.POSITIVE_INFINITY : EDGES[other + 1]! - 0.5;
      const part = (Math.min(high, to) - Math.max(low, from)) / (high - low);
      if (part > 0) found.push([other, part / pace]);
    }
    return found;
  });
}

const ALL = Array.from({ length: 2 * MOST + 1 }, (_, at) => sourcesAt(paceOf(at - MOST)));

/** Writes what a frame of the rendering looks like at a pace into a frame of `into`. */
export function pacedFrame(
  rendering: Bands,
  surroundings: Surroundings,
  frame: number,
  pace: number,
  into: Model,
  slot: number,
): void {
  const sources = ALL[pace + MOST]!;
  for (let band = 0; band < BANDS; band++) {
    let power = 0;
    for (const [other, part] of sources[band]!) power += part * rendering.power[frame * BANDS + other]!;
    into.log[slot * BANDS + band] = logExpected(power, surroundings, band);
  }
}
