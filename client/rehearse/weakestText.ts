/** Where the taps of a drill went wrong most, in words: "bar 4, beat 3, missed 3 of 4". */
import { beatUnits, countText } from "../parts/music.ts";
import { opened } from "../state/shown.ts";
import { barOf, type Part } from "./drills.ts";
import { tappedRounds } from "./tapping.ts";
import { weakestOf } from "./weakest.ts";

/** @returns null where nothing was tapped, or no error can be heard */
export function weakestText({ key, range }: Part): string | null {
  const now = opened.value;
  const weakest = weakestOf(tappedRounds.value.flatMap(({ part, met }) => (part === key ? [met] : [])));
  const section = now?.routine.sections[weakest?.section ?? -1];
  const bar = now?.performance.sections[weakest?.section ?? -1]?.performance.bar;
  if (weakest === null || section === undefined || bar === undefined) return null;
  const { at, missed, rounds, mean } = weakest;
  const number = barOf(at, bar) + 1;
  const beat = countText(at - (number - 1) * bar, beatUnits(section.meter));
  const where = range.from.section === range.to.section ? "" : `${section.name ?? section.id}, `;
  const what =
    missed > 0
      ? `missed ${missed} of ${rounds}`
      : `${Math.round(Math.abs(mean ?? 0))} ms ${(mean ?? 0) < 0 ? "early" : "late"}`;
  return `${where}bar ${number}, beat ${beat}, ${what}`;
}
