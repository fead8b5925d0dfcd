/** A whole hand changed at once, as buttons: what wholeHand.ts can do. */
import type { Pattern } from "../../schemas/routine.ts";
import { stepName, STEPS } from "../parts/music.ts";
import { keyWords } from "../state/actions.ts";
import { noteNames } from "../state/settings.ts";
import { caretIn, keep } from "./inHand.ts";
import { HAND_ACTIONS } from "./phraseActions.ts";
import { countedIn } from "./wholeHand.ts";

export function HandTools(props: { pattern: Pattern }) {
  const { pattern } = props;
  const { hand } = caretIn(pattern);
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
