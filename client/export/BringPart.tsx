/** Files of other programs become a beat, a phrase or a tempo map; clips that were changed elsewhere come back. */
import { useSignal } from "@preact/signals";
import { ChoiceField } from "../parts/Fields.tsx";
import { Waiting } from "../parts/Waiting.tsx";
import { STEPS, stepName } from "../parts/music.ts";
import { noteNames } from "../state/settings.ts";
import type { Opened } from "../state/opened.ts";
import { change } from "../state/change.ts";
import {
  type As,
  brought,
  type Choice,
  done,
  fileOf,
  putAside,
  read,
  stopReading,
  type Understood,
} from "./bring.ts";
import { KeyField } from "./StrandFields.tsx";
import { Preview } from "./Preview.tsx";
import { records, faders, Tracks, Keys } from "./BringChoices.tsx";

const KINDS: readonly (readonly [As, string])[] = [
  ["beat", "a beat: its notes by key"],
  ["pattern", "a phrase: two keys for the record, one for the fader"],
  ["tempo", "the tempo map: bars, metres and tempos"],
];

export function BringPart({ state }: { state: Opened }) {
  const over = useSignal(false);
  const take = (list: FileList | null | undefined): void => {
    const file = fileOf(list);
    if (typeof file === "string") brought.value = { state: "trouble", file: null, why: file };
    else {
      putAside();
      void read(state.name, file);
    }
  };
  const now = brought.value;
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: what is dropped here can be chosen with the field below too
    <div
      class={over.value ? "bring over" : "bring"}
      onDragOver={(event) => {
        event.preventDefault();
        over.value = true;
      }}
      onDragLeave={() => {
        over.value = false;
      }}
      onDrop={(event) => {
        event.preventDefault();
        // Here it is MIDI; the page around takes other files.
        event.stopPropagation();
        over.value = false;
        take(event.dataTransfer?.files);
      }}
    >
      <p>
        Drop a MIDI file here, or choose one. A clip that this program wrote and that was changed elsewhere is
        recognised, and its changes are offered. Nothing is done before you choose it.
      </p>
      <label class="field">
        <span>MIDI file</span>
        <input
          type="file"
          accept=".mid,.midi,audio/midi"
          onChange={(event) => take(event.currentTarget.files)}
        />
      </label>
      {done.value !== null && (
        <p role="status" class="good">
          {done.value}
        </p>
      )}
      {(now.state === "reading" || (now.state === "there" && now.busy === true)) && (
        <Waiting words={`Reading ${now.file.name}`} onStop={stopReading} />
      )}
      {now.state === "trouble" && (
        <p role="alert" class="trouble">
          {now.why}
        </p>
      )}
      {now.state === "there" && <Chosen name={state.name} file={now.file} choice={now.choice} is={now.is} />}
    </div>
  );
}

function Chosen(props: { name: string; file: File; choice: Choice; is: Understood }) {
  const { name, file, choice, is } = props;
  const again = (more: Choice): void => void read(name, file, { ...choice, ...more });
  const { recognised } = is;
  return (
    <>
      <h3>{file.name}</h3>
      {recognised !== null && (
        <p class="good">
          This is a clip of this routine: {recognised.section === null ? "the whole of " : ""}
          {recognised.name}
          {recognised.strand !== null && `, ${recognised.strand}`}.
        </p>
      )}
      <div class="line">
        <ChoiceField
          label="Take it as"
          value={is.as}
          options={KINDS}
          onValue={(as) => void read(name, file, { as: as as As })}
        />
        {is.as !== "tempo" && is.step !== undefined && (
          <ChoiceField
            label="Put on steps of"
            value={is.step}
            options={[...new Set([is.step, ...STEPS])].map(
              (step) => [step, stepName(step, noteNames.value)] as const,
            )}
            onValue={(step) => again({ step })}
          />
        )}
        {is.as === "pattern" && is.forward !== undefined && is.back !== undefined && (
          <>
            <ChoiceField
              label="the record is"
              value={is.record ?? "keys"}
              options={records(is)}
              onValue={(record) => again({ record })}
            />
            {is.record === "keys" && (
              <>
                <KeyField
                  label="forward is key"
                  value={is.forward}
                  percussion
                  onValue={(key) => key !== "none" && again({ forward: key })}
                />
                <KeyField
                  label="back is key"
                  value={is.back}
                  percussion
                  onValue={(key) => key !== "none" && again({ back: key })}
                />
              </>
            )}
            <ChoiceField
              label="the fader is"
              value={is.fader ?? "none"}
              options={faders(is)}
              onValue={(fader) => again({ fader })}
            />
          </>
        )}
      </div>
      {is.as !== "tempo" && is.tracks.length > 1 && <Tracks choice={choice} is={is} again={again} />}
      {is.as === "beat" && <Keys choice={choice} is={is} again={again} />}
      <Preview is={is} />
      {is.same === true && <p class="good">It says the same as the routine: there is nothing to bring in.</p>}
      <div class="line">
        {(is.offers ?? []).map(({ words, edit }, index) => (
          <button
            key={words}
            type="button"
            aria-describedby={index === 0 ? "undo-note" : undefined}
            onClick={() => {
              change(edit, words);
              putAside();
              done.value = `${words}: done. Undo takes it back.`;
            }}
          >
            {words}
          </button>
        ))}
        <button type="button" class="plain" onClick={putAside}>
          Put it aside
        </button>
      </div>
    </>
  );
}
