/** At the foot of the view from afar, where there are fingers and no keys: what keys and pedals do else. */
import { goOn, judge, mode, roundToJudge, startOrStop } from "./session.ts";

const ROUND = [
  ["good", "It was good"],
  ["bad", "It went wrong"],
] as const;

export function FarButtons() {
  const judged = roundToJudge.value?.judged;
  return (
    <div class="far-buttons">
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
