/** After a recording, for reading from afar: what was met, how steady it was, and what comes next. */
import { counted } from "../parts/music.ts";
import { busy, keptTrouble, shownRecording } from "./kept.ts";
import { recordTrouble } from "./recorder.ts";
import type { Recording } from "../../schemas/recording.ts";
import { judgedUpTo } from "./reached.ts";
import { becameOf, lateText, spreadText } from "./summary.ts";
import { recording } from "./taking.ts";
import { unkept } from "./unkept.ts";

export function TakeOutcome() {
  if (recording.value !== "no") return null;
  const trouble = recordTrouble.value ?? keptTrouble.value;
  const shown = shownRecording.value;
  const result = shown?.result ?? null;
  return (
    <div class="far-outcome" role="status">
      {busy.value !== null ? (
        <p>{busy.value.words}…</p>
      ) : trouble !== null ? (
        <p>
          {trouble}
          {unkept.value.length > 0 && " What you played is held in this page: Esc leads to it."}
        </p>
      ) : shown === null || result === null ? (
        <p>Nothing is recorded yet.</p>
      ) : (
        <Met recording={shown} result={result} />
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

function Met({ recording, result }: { recording: Recording; result: NonNullable<Recording["result"]> }) {
  const { sounds, extra, lagMs } = result;
  if (sounds.length === 0) return <p>Nothing is meant up to where it was stopped.</p>;
  if (lagMs === null) return <p>Nothing of what is meant was heard.</p>;
  const spread = spreadText(result);
  const upTo = judgedUpTo(recording);
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
        {spread === null ? "As" : `Errors spread by ${spread}; as`} a whole {lateText(lagMs)}
      </p>
      {upTo !== null && <p>Stopped early, judged up to {upTo}</p>}
    </>
  );
}
