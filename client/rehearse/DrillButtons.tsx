/** At the foot of the view from afar, where there are fingers and no keys: what keys and pedals do else in a drill. */
import { FaderPad } from "./FaderPad.tsx";
import { goOn } from "./run.ts";
import { changeTempo, judge, startOrStop } from "./session.ts";
import { mode, roundToJudge, TEMPO_STEP } from "./rounds.ts";
import { drill } from "./settings.ts";

const ROUND = [
  ["good", "It was good"],
  ["bad", "It went wrong"],
] as const;
const TEMPO = [
  ["Slower", -TEMPO_STEP],
  ["Faster", TEMPO_STEP],
] as const;

/** The sound of the drill waits for the user's own fader. */
export const withFader = (): boolean => mode.value === "drill" && drill.value.heard === "my-fader";

export function DrillButtons() {
  const judged = roundToJudge.value?.judged;
  const drills = mode.value === "drill";
  return (
    <div class="far-buttons">
      {withFader() && <FaderPad />}
      {mode.value !== null && (
        <div class="of-a-round">
          {drills &&
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
          {!drills && (
            <button type="button" onClick={goOn}>
              On to the next section
            </button>
          )}
        </div>
      )}
      <div>
        {drills &&
          TEMPO.map(([words, by]) => (
            <button key={words} type="button" onClick={() => changeTempo(by)}>
              {words}
            </button>
          ))}
        <button type="button" onClick={startOrStop}>
          {mode.value === null ? "Start" : "Stop"}
        </button>
      </div>
    </div>
  );
}
