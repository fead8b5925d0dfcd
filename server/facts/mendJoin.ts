/**
 * Changes that mend a join beyond the user's limits. Each kind proposes its smallest changes in order; the first that
 * does it is kept: the routine with it has no errors, the join is within the limits, and nothing else is beyond them
 * that was not before.
 */
import type { Mend, MendKind, PlacementRef } from "../../schemas/facts.ts";
import type { Routine } from "../../schemas/routine.ts";
import { called } from "../routine/called.ts";
import { sampleOf } from "../routine/lookups.ts";
import { clockOf } from "./clock.ts";
import { movedAlong } from "./mendAlong.ts";
import {
  benchOf,
  countOver,
  type Here,
  hereOf,
  isBeyond,
  joinInto,
  mendOf,
  smallestFirst,
} from "./mendBench.ts";
import { bothShorter, type Join, KINDS, type Kind, wholeSteps } from "./mendJoinKinds.ts";

/** What a kind of change gives or takes: three of these are looked for at every join. */
const FAMILIES: Readonly<Partial<Record<MendKind, string>>> = {
  "carry-on": "elsewhere",
  "start-on-record": "elsewhere",
  "start-in-cycle": "elsewhere",
  "same-sample": "sample",
  "same-sample-before": "sample",
  "cue-button": "cue",
  "leave-earlier": "earlier",
  "start-later": "later",
  "both-shorter": "both",
  "opposite-stroke": "stroke",
  "released-stroke": "stroke",
};
export const familiesOf = (mends: readonly Mend[]): number =>
  new Set(mends.map(({ kind }) => FAMILIES[kind])).size;
const WANTED = 3;

export interface JoinMends {
  /** The smallest first; one of each kind at most. */
  readonly mends: readonly Mend[];
  /** Where fewer than three different changes help: why; a sentence. */
  readonly why: string | null;
}

const NONE: JoinMends = { mends: [], why: null };

/**
 * The mends of the join that leads into a placement; none where there is no such join or it is within the limits. A
 * kind that finds none is left out. A cue button always helps, and so does starting where the record is left; a third
 * needs time, so one of the two phrases must be able to give up a step of its record hand.
 *
 * @param routine without errors
 */
export function joinMends(routine: Routine, to: PlacementRef): JoinMends {
  const bench = benchOf(routine);
  const join = joinInto(bench, to);
  if (join === undefined || !isBeyond(join)) return NONE;
  const [before, after] = [hereOf(bench, join.from), hereOf(bench, join.to)];
  if (before === null || after === null) return NONE;
  const sample = sampleOf(routine.rig, after.placement.sample);
  const touching = join.seconds === 0;
  const clock = clockOf(routine, bench.performance);
  const all: Join = { bench, clock, join, from: before, to: after, sample, touching };
  const over = countOver(bench.sections);
  const tryKind = (kind: Kind): Mend[] => {
    for (const proposal of kind(all)) {
      const tried = movedAlong(all, proposal);
      if (tried === null || countOver(tried.worked.sections) > over) continue;
      const mended = joinInto(tried.worked, to);
      if (mended === undefined || isBeyond(mended) || !bench.isClean(tried.worked)) continue;
      return [mendOf(tried.proposal, mended.verdict)];
    }
    return [];
  };
  const mends = KINDS.flatMap(tryKind);
  if (familiesOf(mends) < WANTED) mends.push(...tryKind(bothShorter));
  return { mends: smallestFirst(mends), why: familiesOf(mends) < WANTED ? whyFew(all) : null };
}

/** Why so few changes help. */
function whyFew({ from, to }: Join): string {
  const [a, b] = [called(from.pattern), called(to.pattern)];
  const short = [from, to].filter((here) => wholeSteps(here) < 2);
  if (short.length === 2)
    return `No other change helps: ${a} and ${b} last less than two steps of the record hand here, so neither can give up time for the hands.`;
  if (short.length === 1)
    return `No other change helps: ${called((short[0] as Here).pattern)} lasts less than two steps of the record hand here, and what the other phrase could give up is too little, or moves what stands after it beyond your limits.`;
  return `No other change helps: what ${a} and ${b} could give up is too little time, or would put another join beyond your limits.`;
}
