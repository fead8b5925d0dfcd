/** At the foot of the view from afar, where there are fingers and no keys: what keys and pedals do else. */
import { FaderPad } from "./FaderPad.tsx";
import { goOn, judge, mode, roundToJudge, startOrStop } from "./session.ts";
import { drill } from "./settings.ts";

const ROUND = [
  ["good", "It was good"],
  ["bad", "It went wrong"],
] as const;

/** The sound of the drill waits for the user's own fader. */
export const withFader = (): boolean => mode.value === "drill" && drill.value.heard === "my-fader";

export function FarButtons() {
  const judged = roundToJudge.value?.judged;
  return (
    <div class="far-buttons">
      {withFader() && <FaderPad />}
      {mode.value === "drill" &&
        ROUND.map(([what, words]) => (
          <button
            key={what}
            type="button"
            disabled={roundToJudge.value === undefined}
            aria-pressed={judged === what}
            onClick={() => judge(what)}
          >
            {words}
          </button>
        ))}
      {mode.value === "run" && (
        <button type="button" onClick={goOn}>
          On to the next section
        </button>
      )}
      <button type="button" onClick={startOrStop}>
        {mode.value === null ? "Start" : "Stop"}
      </button>
    </div>
  );
}
