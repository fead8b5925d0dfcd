/** Says that a moment of the past is shown, and what can be done with it. It is looked at on Routine alone. */
import { useEffect } from "preact/hooks";
import type { Past } from "../../schemas/wire.ts";
import { useActions } from "../state/actions.ts";
import { underWay } from "../audio/playing.ts";
import { playOrStop } from "../audio/transport.ts";
import { backToNow, bringBack } from "../state/past.ts";
import { past } from "../state/shown.ts";
import { place } from "../state/place.ts";
import { clockWords, dayWords } from "./words.ts";

export function PastBar() {
  const now = past.value;
  return now === null ? null : <Bar edit={now.edit} />;
}

function Bar({ edit }: { edit: Past }) {
  const { screen } = place.value;
  // What other screens show and write is how it is now.
  useEffect(() => {
    if (screen !== "routine") backToNow();
  }, [screen]);
  useActions("The past", [
    { id: "past-back", name: "Back to how it is now", keys: ["Escape"], run: backToNow },
    { id: "past-bring", name: "Bring back how it was", keys: [], run: bringBack },
  ]);
  return (
    <section class="offer past-bar" role="status" aria-label="The past">
      <p>
        <strong>
          As it was on {dayWords(edit.at)}, {clockWords(edit.at)}.
        </strong>{" "}
        {edit.words}. Nothing can be changed here.
      </p>
      <button type="button" onClick={playOrStop}>
        {underWay.value ? "Stop" : "Hear it"}
      </button>
      <button type="button" onClick={bringBack}>
        Bring it back
      </button>
      <button type="button" onClick={backToNow}>
        Back to now
      </button>
    </section>
  );
}
