/** The climb in tempo, a step at a time: what a round that went well, or badly, makes of it. */
import type { ClimbRules } from "../../schemas/drill.ts";
import { FASTEST, SLOWEST } from "../../schemas/soundWire.ts";
import { counted } from "../parts/music.ts";

export type Judged = "good" | "bad";

export interface Climb {
  /** Percent of the written tempo. */
  readonly tempo: number;
  /** Good rounds in a row at this tempo, and bad ones. */
  readonly good: number;
  readonly bad: number;
}

const LEAST = SLOWEST * 100;
/** What can be played, and no more than the ceiling. */
const within = (rules: ClimbRules, tempo: number): number =>
  Math.max(LEAST, Math.min(tempo, rules.ceiling, FASTEST * 100));

export const startOf = (rules: ClimbRules): Climb => ({
  tempo: within(rules, rules.start),
  good: 0,
  bad: 0,
});

export function climbed(rules: ClimbRules, { tempo, good, bad }: Climb, judged: Judged): Climb {
  if (judged === "good") {
    if (good + 1 < rules.upAfter) return { tempo, good: good + 1, bad: 0 };
    return { tempo: within(rules, tempo + rules.upBy), good: 0, bad: 0 };
  }
  if (bad + 1 < rules.downAfter) return { tempo, good: 0, bad: bad + 1 };
  return { tempo: within(rules, tempo - rules.downBy), good: 0, bad: 0 };
}

/** Set by hand: the count begins anew. */
export const setTo = (rules: ClimbRules, tempo: number): Climb => ({
  tempo: within(rules, tempo),
  good: 0,
  bad: 0,
});

/** The rules in a sentence. */
export function climbText(rules: ClimbRules): string {
  const { start, ceiling, upAfter, upBy, downAfter, downBy } = rules;
  const inARow = (rounds: number, kind: string): string =>
    rounds === 1 ? `each ${kind} round` : `${counted(rounds, `${kind} round`)} in a row`;
  return `Starts at ${Math.min(start, ceiling)} % of the written tempo. Up by ${upBy} % after ${inARow(upAfter, "good")}, down by ${downBy} % after ${inARow(downAfter, "bad")}; never above ${ceiling} %.`;
}
