/** Files of other programs become a beat, a phrase or a tempo map; clips that were changed elsewhere come back. */
import { useSignal } from "@preact/signals";
import { ChoiceField, TickField } from "../parts/Fields.tsx";
import { keyWords } from "../parts/keys.ts";
import { Waiting } from "../parts/Waiting.tsx";
import { counted, STEPS, stepName } from "../parts/music.ts";
import { middleC, noteNames } from "../state/settings.ts";
import type { Opened } from "../state/opened.ts";
import { change } from "../state/store.ts";
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

/** A position takes two controllers, the low byte 32 above the high one. */
const records = ({ tracks }: Understood): (readonly [string, string])[] => {
  const there = new Set(tracks.flatMap(({ controllers }) => controllers.map(({ number }) => number)));
  const pairs = [...there].filter((one) => one < 32 && there.has(one + 32)).sort((a, b) => a - b);
  return [
    ["keys", "two keys"],
    ...pairs.map((one) => [`controller ${one}`, `controller ${one}, its position`] as const),
  ];
};

const faders = ({ tracks, fader }: Understood): (readonly [string, string])[] => {
  const numbers = (of: "keys" | "controllers"): number[] =>
    [...new Set(tracks.flatMap((track) => track[of].map(({ number }) => number)))].sort((a, b) => a - b);
  const all = [
    ["none", "open throughout"] as const,
    ...numbers("controllers").map((one) => [`controller ${one}`, `controller ${one}`] as const),
    ...numbers("keys").map((one) => [`key ${one}`, `key ${keyWords(one, middleC.value, true)}`] as const),
  ];
  return all.some(([value]) => value === fader) || fader === undefined
    ? all
    : [...all, [fader, fader] as const];
};

interface Choosing {
  readonly choice: Choice;
  readonly is: Understood;
  readonly again: (more: Choice) => void;
}

/** @param all everything; left out in the choice, all are taken */
const without = (
  all: readonly number[],
  taken: readonly number[] | undefined,
  one: number,
  on: boolean,
): number[] => {
  const now = new Set(taken ?? all);
  if (on) now.add(one);
  else now.delete(one);
  return all.filter((each) => now.has(each));
};

function Tracks({ choice, is, again }: Choosing) {
  const all = is.tracks.map((_, index) => index);
  return (
    <fieldset class="strand">
      <legend>Tracks</legend>
      <div class="line">
        {is.tracks.map(({ name, notes, controllers }, index) => (
          <TickField
            key={index}
            label={`${name === "" ? `track ${index + 1}` : name} (${counted(notes, "note")}, ${counted(
              controllers.reduce((sum, { count }) => sum + count, 0),
              "controller event",
            )})`}
            value={choice.tracks?.includes(index) ?? true}
            onValue={(on) => again({ tracks: without(all, choice.tracks, index, on) })}
          />
        ))}
      </div>
    </fieldset>
  );
}

function Keys({ choice, is, again }: Choosing) {
  const counts = new Map<number, number>();
  for (const [index, { keys }] of is.tracks.entries()) {
    if (choice.tracks?.includes(index) === false) continue;
    for (const { number, count } of keys) counts.set(number, (counts.get(number) ?? 0) + count);
  }
  const all = [...counts.keys()].sort((a, b) => a - b);
  if (all.length < 2) return null;
  return (
    <fieldset class="strand">
      <legend>Keys</legend>
      <div class="line">
        {all.map((key) => (
          <TickField
            key={key}
            label={`${keyWords(key, middleC.value, true)}: ${counted(counts.get(key) ?? 0, "note")}`}
            value={choice.keys?.includes(key) ?? true}
            onValue={(on) => again({ keys: without(all, choice.keys, key, on) })}
          />
        ))}
      </div>
    </fieldset>
  );
}
