/** How late a press is heard, measured by a loop from the loudspeaker back into the microphone. */
import { signal } from "@preact/signals";
import { soundFigures } from "../audio/heardNow.ts";
import { extraLatency } from "../state/settings.ts";
import { tidy } from "../parts/music.ts";
import { type Loopback, measureLoop } from "./loopback.ts";

const asked = signal(false);
const busy = signal(false);
const result = signal<Loopback | string | null>(null);

async function measure(): Promise<void> {
  asked.value = false;
  busy.value = true;
  result.value = null;
  try {
    result.value = await measureLoop();
  } catch (error) {
    result.value = error instanceof Error ? error.message : String(error);
  } finally {
    busy.value = false;
  }
}

export function LatencyPanel() {
  const said = result.value;
  const stated = soundFigures()?.latency;
  return (
    <section class="latency" aria-labelledby="latency-head">
      <h3 id="latency-head">Delay of the sound</h3>
      <p class="quiet">
        What you play is judged by when you hear the beat.
        {stated !== undefined &&
          ` The browser says that sound leaves ${tidy(stated, 0)} ms after it is made.`}{" "}
        A measurement plays five quiet sweeps and hears them through the microphone or a cable.{" "}
        {extraLatency.value !== 0 && `${tidy(extraLatency.value, 1)} ms more are allowed for now.`}
      </p>
      <div class="line">
        {asked.value ? (
          <div class="caution" role="alertdialog" aria-label="Before the sweeps">
            <p>
              Five sweeps, a tenth of a second each, will come from your loudspeaker or headphones. They start
              quiet and fade in. Take headphones off the ears and turn down first; a microphone that is open
              next to a loudspeaker may howl. Nothing that is recorded leaves this page.
            </p>
            <button type="button" onClick={() => void measure()}>
              Play the sweeps, quietly
            </button>
            <button
              type="button"
              onClick={() => {
                asked.value = false;
              }}
            >
              Not now
            </button>
          </div>
        ) : (
          <button
            type="button"
            disabled={busy.value}
            onClick={() => {
              asked.value = true;
            }}
          >
            {busy.value ? "Listening…" : "Measure the delay"}
          </button>
        )}
        {extraLatency.value !== 0 && (
          <button
            type="button"
            onClick={() => {
              extraLatency.value = 0;
            }}
          >
            Allow for nothing more
          </button>
        )}
      </div>
      {said !== null && (
        <p role="status" class={typeof said === "string" ? "trouble" : ""}>
          {typeof said === "string"
            ? said
            : `Out and back takes ${tidy(said.loopMs, 1)} ms (middle of five; they lay ${tidy(said.spanMs, 1)} ms apart). The browser had stated ${tidy(said.statedMs, 1)} ms for the way out; ${tidy(Math.max(0, said.extraMs), 1)} ms more are allowed for from now on. The microphone’s own delay is part of that.`}
        </p>
      )}
    </section>
  );
}
