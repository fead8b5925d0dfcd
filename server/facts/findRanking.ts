/** What combinations are ranked by, each as one number. */
import type { RankedBy } from "../../schemas/find.ts";
import { distanceFrom, type Steps } from "./distance.ts";
import { stepsOfMeeting } from "./findAnswer.ts";
import type { Meeting } from "./findMeeting.ts";
import { evenness } from "./metreEvenness.ts";
import { lhl } from "./metreSyncopation.ts";
import { gcdOf } from "../time/fraction.ts";

type Value = (meeting: Meeting) => number;

const onsetsOf = (meeting: Meeting): number[] => {
  const onsets: number[] = [];
  for (let step = 0; step < meeting.combined; step++) if (meeting.soundAt(step) !== 0) onsets.push(step);
  return onsets;
};

/** The chord sum of the sounds' starts in one combined length over the greatest possible; see metreEvenness.ts. */
const evennessOf: Value = (meeting) => evenness({ pulses: meeting.combined, onsets: onsetsOf(meeting) });

/**
 * Longuet-Higgins and Lee's syncopation of the sounds' starts, per bar, until the phrase comes round; see
 * metreSyncopation.ts. `weights` are of a bar whose pulse is the step.
 */
function syncopationOf(weights: readonly number[]): Value {
  const bar = weights.length;
  return (meeting) => {
    const onsets = onsetsOf(meeting);
    if (onsets.length === 0) return 0;
    const repeats = bar / gcdOf(bar, meeting.combined);
    const all = Array.from({ length: repeats }, (_, repeat) =>
      onsets.map((onset) => repeat * meeting.combined + onset),
    ).flat();
    const pulses = repeats * meeting.combined;
    const strengths = lhl({ pulses, onsets: all }, weights);
    return (strengths.reduce<number>((sum, value) => sum + Math.max(0, value ?? 0), 0) * bar) / pulses;
  };
}

/** @param weights null where the step does not part the bar's beat, so that there is nothing to weigh */
export function rankingValue(
  by: RankedBy,
  library: readonly Steps[],
  weights: readonly number[] | null,
): Value {
  switch (by) {
    case "difficulty":
      return (meeting) => meeting.difficulty;
    case "evenness":
      return evennessOf;
    case "syncopation":
      return syncopationOf(weights ?? [0]);
    case "distance":
      return (meeting) => distanceFrom(library, stepsOfMeeting(meeting));
  }
}
