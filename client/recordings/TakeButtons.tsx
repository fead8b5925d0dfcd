/** At the foot of the view from afar while one records: pads where fingers play, and what starts and stops. */
import { by, recordOrStop } from "./recorder.ts";
import { TapPads } from "./TapPads.tsx";
import { recording } from "./taking.ts";

/** Fingers play, and something is to be played. */
export const withPads = (): boolean => by.value === "keys" && recording.value !== "no";

export function TakeButtons() {
  return (
    <div class="far-buttons">
      {withPads() && <TapPads />}
      <div>
        <button type="button" onClick={recordOrStop}>
          {recording.value === "no" ? "Record again" : "Stop"}
        </button>
      </div>
    </div>
  );
}
