/** At the foot of the view from afar, where there are fingers and no keys: what keys and pedals do else. */
import { goOn, judge, mode, roundToJudge, startOrStop } from "./session.ts";

export function FarButtons() {
  const judged = roundToJudge.value?.judged;
  return (
    <div class="far-buttons">
      {mode.value === "drill" && (
        <>
          <button
            type="button"
            disabled={roundToJudge.value === undefined}
            aria-pressed={judged === "good"}
            onClick={() => judge("good")}
          >
            It was good
          </button>
          <button
            type="button"
            disabled={roundToJudge.value === undefined}
            aria-pressed={judged === "bad"}
            onClick={() => judge("bad")}
          >
            It went wrong
          </button>
        </>
      )}
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
