/** After a recording, for reading from afar: what was met, how steady it was, and what comes next. */
import { counted } from "../parts/music.ts";
import { busy, keptTrouble, shownRecording } from "./kept.ts";
import { recordTrouble } from "./recorder.ts";
import { becameOf, lateText } from "./summary.ts";
import { recording } from "./taking.ts";

export function TakeOutcome() {
  if (recording.value !== "no") return null;
  const trouble = recordTrouble.value ?? keptTrouble.value;
  const result = shownRecording.value?.result ?? null;
  return (
    <div class="far-outcome" role="status">
      {busy.value !== null ? (
        <p>{busy.value.words}…</p>
      ) : trouble !== null ? (
        <p>{trouble}</p>
      ) : result === null ? (
        <p>Nothing is recorded yet.</p>
      ) : (
        <Met {...result} />
      )}
      {busy.value === null && (
        <p>
          <kbd>R</kbd> records{result === null && trouble === null ? "" : " again"}
          {result !== null && trouble === null && (
            <>
              , <kbd>Esc</kbd> shows where
            </>
          )}
        </p>
      )}
    </div>
  );
}

function Met({
  sounds,
  extra,
  spreadMs,
  lagMs,
}: NonNullable<NonNullable<typeof shownRecording.value>["result"]>) {
  if (lagMs === null || spreadMs === null) return <p>Nothing of what is meant was heard.</p>;
  const count = (what: string): number => sounds.filter((sound) => becameOf(sound) === what).length;
  const missed = count("missed");
  return (
    <>
      <p>
        <strong>
          {count("fine")} of {counted(sounds.length, "sound")} in time
        </strong>
      </p>
      <p>
        {count("early")} early, {count("late")} late, {missed} missed, {extra.length} extra
      </p>
      <p>
        Errors spread by {spreadMs.toFixed(1)} ms; as a whole {lateText(lagMs)}
      </p>
    </>
  );
}
