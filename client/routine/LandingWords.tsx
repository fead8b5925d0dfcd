/** What is said of a gap and the ways to fill it: how long, how many, and why there is none. */
import { stepName, unitsOfText } from "../parts/music.ts";
import { noteNames } from "../state/settings.ts";
import { type Gap, leftOver } from "./filling.ts";
import { stepOf } from "./ways.ts";

/** "44 × quarter". */
export function lengthText(units: number): string {
  const step = stepOf(units);
  return step === undefined ? "" : `${units / unitsOfText(step)} × ${stepName(step, noteNames.value)}`;
}

export function foundText(count: string, shown: number, anywhere: boolean): string {
  if (count === "0")
    return `These fill it in no way exactly. Add another phrase${anywhere ? "" : ", or let a phrase start anywhere"}.`;
  const best = shown < Number(count) ? `, the best ${shown}` : "";
  return `${BigInt(count).toLocaleString("en-GB")} ${count === "1" ? "way" : "ways"} to fill it${best}: fewest changes first.`;
}

/** Where no number of these phrases can ever be as long as the gap: why, and what can. */
export function NoWay(props: { gap: Gap; lengths: readonly number[]; onEmpty: (units: number) => void }) {
  const over = leftOver(props.gap.to - props.gap.from, props.lengths);
  if (over === null) return null;
  return (
    <div class="line">
      <span>They all last multiples of {lengthText(over.unit)}, and the gap does not.</span>
      <button type="button" onClick={() => props.onEmpty(over.rest)}>
        Begin it {lengthText(over.rest)} later
      </button>
    </div>
  );
}
