/** How the sound is doing, in plain words: for when it stutters or comes late. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { soundFigures } from "./heardNow.ts";
import { output, outputName } from "./output.ts";
import { playing, renderLoad, underruns } from "./playing.ts";

interface Figures {
  readonly ahead: number | null;
  readonly latency: number | null;
  readonly rate: number | null;
}
const open = signal(false);
const figures = signal<Figures>({ ahead: null, latency: null, rate: null });
const device = signal<string | null>(null);

function look(): void {
  const now = soundFigures();
  figures.value = {
    ahead: now?.ahead ?? null,
    latency: now?.latency ?? null,
    rate: output()?.sampleRate ?? null,
  };
}
const tellDevice = async (): Promise<void> => {
  device.value = await outputName();
};

const UNKNOWN = "known while it plays";
const milliseconds = (value: number | null): string =>
  value === null ? UNKNOWN : `${Math.round(value)} milliseconds`;
const loadText = (load: number | null): string =>
  load === null ? UNKNOWN : `${load < 0.01 ? "less than 1" : Math.round(load * 100)} % of the time there is`;

export function SoundDetails() {
  const shown = open.value;
  useEffect(() => {
    if (!shown) return;
    look();
    void tellDevice();
    const timer = setInterval(look, 500);
    navigator.mediaDevices?.addEventListener("devicechange", tellDevice);
    return () => {
      clearInterval(timer);
      navigator.mediaDevices?.removeEventListener("devicechange", tellDevice);
    };
  }, [shown]);
  const { ahead, latency, rate } = figures.value;
  const on = playing.value;
  const lines: readonly (readonly [string, string])[] = [
    ["Ran out of sound in this play", underruns.value === 1 ? "once" : `${underruns.value} times`],
    ["Sound in hand", milliseconds(on ? ahead : null)],
    ["Delay of the output, as the browser states it", milliseconds(latency)],
    ["Output", device.value ?? "what the system has chosen (its name is told once a microphone is allowed)"],
    ["Samples a second", rate === null ? UNKNOWN : rate.toLocaleString("en")],
    ["Rendering takes", loadText(on ? renderLoad.value : null)],
  ];
  return (
    <details
      class="sound-details"
      open={shown}
      onToggle={(event) => {
        open.value = event.currentTarget.open;
      }}
    >
      <summary>How the sound is doing</summary>
      <dl>
        {lines.map(([what, value]) => (
          <div key={what}>
            <dt class="quiet">{what}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <p class="quiet">
        Where it runs out of sound, the machine is too busy: close other programs. A change that is made while
        it plays is heard after about 30 milliseconds and the delay of the output.
      </p>
    </details>
  );
}
