/** A question to the space of combinations, made ready to be asked of each; refused where it makes no sense. */
import { platterSpeed } from "../../schemas/rig.ts";
import { type FindQuestion, MOST_LOOKED_AT } from "../../schemas/find.ts";
import { limitsOf } from "../routine/lookups.ts";
import { parseFraction, unitsOf } from "../time/fraction.ts";
import { parseMeter } from "../time/meter.ts";
import { stepsOf } from "./distance.ts";
import type { Refused } from "./fill.ts";
import type { Grid } from "./findAnswer.ts";
import { conditionOf } from "./findFilter.ts";
import type { Meeting } from "./findMeeting.ts";
import { rankingValue } from "./findRanking.ts";
import { countOf } from "./findSpace.ts";
import { MOST_BAR_PULSES, subdivisionsOf } from "./metre.ts";
import { metricalWeights } from "./metreSyncopation.ts";

export interface FindPlan {
  readonly question: FindQuestion;
  readonly grid: Grid;
  /** All combinations of the space, before any filter. */
  readonly total: bigint;
  /** Null where everything passes. */
  readonly condition: ((meeting: Meeting) => boolean) | null;
  /** Null where the order of the listing is the ranking. */
  readonly value: ((meeting: Meeting) => number) | null;
}

export function planOf(question: FindQuestion): FindPlan | Refused {
  const { space, filter = {}, ranking, library = [], limits, platter } = question;
  const meter = parseMeter(question.meter ?? "4/4");
  if (meter === null)
    return {
      refused: `${question.meter} is no metre: its upper number is 1 to 64, its lower 1, 2, 4, 8, 16 or 32.`,
    };
  const step = unitsOf(parseFraction(question.step ?? "1/16"));
  if (step === null)
    return { refused: `A step of ${question.step} is finer than the clock: take one such as 1/16 or 1/24.` };
  const total = countOf(space);
  const asks = Object.keys(filter).length > 0 || ranking !== undefined;
  if (asks && total > BigInt(MOST_LOOKED_AT))
    return {
      refused: `There are ${total} combinations, too many to look at each; the most is ${MOST_LOOKED_AT.toLocaleString("en")}. Ask for shorter cycles or fewer kinds.`,
    };
  const read = library.flatMap((pattern) => stepsOf(pattern, step) ?? []);
  if (ranking?.by === "distance" && read.length === 0)
    return { refused: "There is no library to be far from: give the phrases that you have already." };
  const onGrid = meter.beat % step === 0 && meter.bar / step <= MOST_BAR_PULSES;
  if (ranking?.by === "syncopation" && !onGrid)
    return {
      refused: `A step of ${question.step ?? "1/16"} does not part the beat of ${question.meter ?? "4/4"}, so syncopation has nothing to weigh.`,
    };
  const grid: Grid = { step, bar: meter.bar };
  const rig = platter === undefined ? undefined : { platter };
  const hands = {
    limits: { ...limitsOf(undefined), ...limits } as ReturnType<typeof limitsOf>,
    platter: platterSpeed(rig),
  };
  const weights = onGrid ? metricalWeights(subdivisionsOf(meter, meter.bar / step)) : null;
  return {
    question,
    grid,
    total,
    condition: conditionOf(filter, grid, hands),
    value: ranking === undefined ? null : rankingValue(ranking.by, read, weights),
  };
}
