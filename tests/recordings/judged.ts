/** How near what was heard comes to what the robot is known to have played. */
import { compareTimes } from "../../server/recordings/compareTimes.ts";
import type { Meant } from "../../server/recordings/expected.ts";
import type { Played } from "./robot.ts";

/** Milliseconds within which a shown error counts as the known one. */
const NEAR = 3;

export interface Judged {
  /** Of the sounds that were played, the part whose shown error is the known one within 3 ms. */
  readonly within: number;
  /** The published measure of all that was heard against all that was played. */
  readonly f: number;
}

/**
 * @param lag seconds that the robot was late as a whole
 * @param errors shown, in the order of `meant`, milliseconds; null: shown as missed
 * @param extra seconds from the start of the stretch
 * @param spoilt whether what lies there, seconds from the start of the stretch, is left out: nobody could have heard it
 */
export function judged(
  meant: readonly Meant[],
  played: Played,
  lag: number,
  errors: readonly (number | null)[],
  extra: readonly number[],
  spoilt: (time: number) => boolean = () => false,
): Judged {
  const at = (index: number, milliseconds: number): number =>
    (meant[index] as Meant).time + milliseconds / 1000;
  const lost = meant.map(({ time }) => spoilt(time));
  const truth = played.errors.flatMap((error, index) =>
    error === null || lost[index] === true ? [] : [at(index, 1000 * error)],
  );
  const heard = errors.flatMap((error, index) =>
    error === null || lost[index] === true ? [] : [at(index, error)],
  );
  const right = errors.filter((shown, index) => {
    const known = lost[index] === true ? null : played.errors[index];
    return known != null && shown !== null && Math.abs(shown - 1000 * known) < NEAR;
  });
  const all = (some: readonly number[], more: readonly number[]): number[] =>
    [...some, ...more.filter((time) => !spoilt(time))].sort((a, b) => a - b);
  const added = played.added.map((time) => time - lag);
  return {
    within: right.length / truth.length,
    f: compareTimes(all(truth, added), all(heard, extra)).f,
  };
}
