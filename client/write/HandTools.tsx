/** A whole hand changed at once, as buttons: what wholeHand.ts can do. */
import type { Pattern } from "../../schemas/routine.ts";
import { stepName, STEPS } from "../parts/music.ts";
import { keyWords, useActions } from "../state/actions.ts";
import { noteNames } from "../state/settings.ts";
import { caretIn, keep } from "./inHand.ts";
import { HAND_ACTIONS } from "./phraseActions.ts";
import { countedIn } from "./wholeHand.ts";

const inAnotherStep = (): void => {
  const tools = document.querySelector<HTMLDetailsElement>(".hand-tools");
  if (tools === null) return;
  tools.open = true;
  tools.querySelector("select")?.focus();
};

export function HandTools(props: { pattern: Pattern }) {
  const { pattern } = props;
  const { hand } = caretIn(pattern);
  useActions("Write", [
    {
      id: "w-step",
      name: "Count this hand in another step, sounding the same",
      keys: [],
      run: inAnotherStep,
    },
  ]);
  return (
    <details class="hand-tools">
      <summary>Change a whole hand: the {hand} hand</summary>
      <div class="line">
        {HAND_ACTIONS.map(({ id, name, keys, run }) => (
          <button key={id} type="button" onClick={run}>
            {name} <kbd>{keyWords(keys[0]!)}</kbd>
          </button>
        ))}
        <label class="field">
          <span>Count it in another step, sounding the same</span>
          <select
            value=""
            onChange={(e) => {
              const step = e.currentTarget.value;
              if (step !== "") keep(countedIn(pattern, hand, step), "Count in another step");
              e.currentTarget.value = "";
            }}
          >
            <option value="">choose…</option>
            {STEPS.filter((one) => one !== pattern[hand].step).map((one) => (
              <option key={one} value={one}>
                {one} {stepName(one, noteNames.value)}
              </option>
            ))}
          </select>
        </label>
      </div>
    </details>
  );
}
