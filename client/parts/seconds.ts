/** Places of the open routine in seconds from its start, at the written tempo; a ramp is linear in beats. */
import type { Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import type { Opened } from "../state/opened.ts";

type Tempo = Section["tempo"];

/** Quarters a minute where so much of a section is over. @param part 0 to 1 */
export const tempoInto = (tempo: Tempo, part: number): number =>
  typeof tempo === "number" ? tempo : tempo.from + (tempo.to - tempo.from) * part;

/** Seconds from a section's start to so many quarters in it. @param length quarters of the section */
export function secondsInto(tempo: Tempo, quarters: number, length: number): number {
  if (typeof tempo === "number") return (60 * quarters) / tempo;
  const { from, to } = tempo;
  // What leads in keeps the tempo that it leads to.
  if (from === to || quarters < 0) return (60 * quarters) / from;
  return ((60 * length) / (to - from)) * Math.log(1 + ((to - from) * quarters) / (length * from));
}

/** Of a straight position in units. */
export function secondsAt({ performance, routine }: Opened, position: number): number {
  const index = Math.max(
    0,
    performance.sections.findLastIndex(({ start }) => start <= position),
  );
  const timed = performance.sections[index];
  const tempo = routine.sections[index]?.tempo ?? 120;
  if (timed === undefined) return 0;
  const quarters = (position - timed.start) / UNITS_PER_QUARTER;
  return timed.startSeconds + secondsInto(tempo, quarters, timed.performance.length / UNITS_PER_QUARTER);
}

/** Where the music is after so many seconds: the index of the section, and units from its start. */
export function placeAt(
  { performance, routine }: Opened,
  seconds: number,
): { readonly section: number; readonly at: number } {
  const section = Math.max(
    0,
    performance.sections.findLastIndex(({ startSeconds }) => startSeconds <= seconds),
  );
  const timed = performance.sections[section];
  const tempo = routine.sections[section]?.tempo ?? 120;
  if (timed === undefined) return { section: 0, at: 0 };
  const since = seconds - timed.startSeconds;
  const from = typeof tempo === "number" ? tempo : tempo.from;
  const change = typeof tempo === "number" ? 0 : tempo.to - tempo.from;
  const all = timed.performance.length / UNITS_PER_QUARTER;
  const quarters =
    change === 0 || since < 0
      ? (from * since) / 60
      : ((all * from) / change) * (Math.exp((change * since) / (60 * all)) - 1);
  return { section, at: quarters * UNITS_PER_QUARTER };
}

/**
 * Swing (domain of time): the first of each pair of steps takes its percentage of it; an incomplete pair stays straight.
 *
 * @param at, pair, length units from the section's start, of two steps, and of the section
 */
export function bend(at: number, pair: number, percent: number, length: number): number {
  const start = Math.floor(at / pair) * pair;
  if (percent === 50 || pair === 0 || at < 0 || start + pair > length) return at;
  const [inside, first] = [at - start, (pair * percent) / 100];
  const half = pair / 2;
  return inside <= half
    ? start + (inside * first) / half
    : start + first + ((inside - half) * (pair - first)) / half;
}
