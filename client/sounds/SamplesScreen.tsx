/** The samples on the routine's records: built in or the user's own, each with what is used of it, its cue and repeat. */
import { samplesOf } from "../../schemas/rig.ts";
import { useState } from "preact/hooks";
import { BuiltInSample } from "../../schemas/routine.ts";
import { useByItself } from "../audio/byItself.ts";
import { useActions } from "../state/actions.ts";
import { addressOf, goTo } from "../state/place.ts";
import { opened } from "../state/shown.ts";
import { sampleAlone } from "./audition.ts";
import { BringSound } from "./BringSound.tsx";
import { SampleFields } from "./SampleFields.tsx";
import { addSample, BUILT_IN_NAMES, sampleName } from "./samples.ts";

const BRING = "Bring a sound of your own";
const askForSound = (): void =>
  document.querySelector<HTMLInputElement>(`input[type=file][aria-label="${BRING}"]`)?.click();

export function SamplesScreen() {
  const now = opened.value;
  const [chosen, setChosen] = useState<string | null>(null);
  const samples = now === null ? [] : samplesOf(now.routine.rig);
  const sample = samples.find(({ id }) => id === chosen) ?? samples[0];
  useByItself(
    () => (now === null || sample === undefined ? null : sampleAlone(now.routine, sample)),
    [now?.routine.rig, sample],
  );
  const go = (by: number) => (): void => {
    const at = samples.findIndex(({ id }) => id === sample?.id);
    setChosen(samples[(at + by + samples.length) % samples.length]?.id ?? null);
  };
  useActions(
    "Samples",
    [
      { id: "samples-next", name: "The next sample", keys: ["Alt+ArrowDown"], run: go(1) },
      { id: "samples-before", name: "The sample before", keys: ["Alt+ArrowUp"], run: go(-1) },
      { id: "samples-bring", name: BRING, keys: [], run: askForSound },
      ...BuiltInSample.options.map((builtIn) => ({
        id: `samples-add-${builtIn}`,
        name: `Add the built-in sound: ${BUILT_IN_NAMES[builtIn]}`,
        keys: [],
        run: () => setChosen(addSample({ builtIn })),
      })),
      { id: "samples-back", name: "Back to the phrases", keys: ["Escape"], run: () => goTo("write") },
    ],
    [samples, sample?.id],
  );
  if (now === null || sample === undefined) return null;
  return (
    <section class="samples">
      <div class="line">
        <h2>Samples on the record</h2>
        <a href={addressOf("write")}>Back to the phrases</a>
      </div>
      <p>
        The first is what a phrase plays unless its place in the routine says another. Play (Space) lets the
        record go from the cue for a bar, then moves it by hand for a bar.
      </p>
      <div class="line" role="group" aria-label="Which sample">
        {samples.map((one) => (
          <button
            key={one.id}
            type="button"
            aria-pressed={one.id === sample.id}
            onClick={() => setChosen(one.id)}
          >
            {sampleName(one)}
          </button>
        ))}
      </div>
      <SampleFields key={sample.id} sample={sample} onGone={() => setChosen(null)} onId={setChosen} />
      <div class="line">
        <BringSound
          words={BRING}
          amongOthers
          onSound={({ file, sound }, name) =>
            setChosen(
              addSample({
                name,
                file,
                // A short sound repeats with each turn, as on a practice record; a longer one is left whole.
                repeatsEvery: sound.seconds <= 1.8 ? 360 : 0,
              }),
            )
          }
        />
        <label class="field">
          <span>or add a built-in one</span>
          <select
            value=""
            onChange={(event) => {
              const builtIn = BuiltInSample.options.find((one) => one === event.currentTarget.value);
              event.currentTarget.value = "";
              if (builtIn !== undefined) setChosen(addSample({ builtIn }));
            }}
          >
            <option value="">Choose…</option>
            {BuiltInSample.options.map((one) => (
              <option key={one} value={one}>
                {BUILT_IN_NAMES[one]}
              </option>
            ))}
          </select>
        </label>
      </div>
      <p class="quiet">
        WAV, FLAC, MP3 and OGG are read by the browser and kept as WAV beside the routine, on this machine
        alone. Sharing a sample needs its owner’s consent.
      </p>
    </section>
  );
}
