/** Record what is really played, and see it against what is meant. */
import { useEffect } from "preact/hooks";
import type { HandsHeard } from "../../schemas/recording.ts";
import { midiState, openMidi } from "../audio/midiIn.ts";
import { speed } from "../audio/transport.ts";
import { useActions } from "../state/actions.ts";
import { cautionSeen } from "../state/settings.ts";
import { saveFile } from "../parts/saveFile.ts";
import { Waiting } from "../parts/Waiting.tsx";
import { PartOptions } from "../rehearse/PartOptions.tsx";
import { opened } from "../state/store.ts";
import { inputId, inputPeak, inputs, inputState, inputTrouble, openInput, shutInput } from "./input.ts";
import {
  bring,
  busy,
  keptTrouble,
  lines,
  loadLines,
  show,
  shownRecording,
  toBin,
  unkept,
  unread,
} from "./kept.ts";
import { leaveListening, listen, listening, stopListening } from "./listening.ts";
import {
  aboutOf,
  allowedMs,
  by,
  hands,
  record,
  recording,
  recordTrouble,
  stopRecording,
  wanted,
  what,
} from "./recorder.ts";
import { ResultView } from "./ResultView.tsx";
import { lateText } from "./summary.ts";

const toggle = (): void => (recording.value === "no" ? record() : stopRecording());

function listenOrStop(): void {
  const shown = shownRecording.value;
  if (listening.value) stopListening();
  else if (shown !== null) void listen(shown);
}

export function RecordingsScreen() {
  const name = opened.value?.name ?? "";
  useEffect(() => {
    shownRecording.value = null;
    lines.value = null;
    if (name !== "") void loadLines();
  }, [name]);
  useEffect(
    () => () => {
      stopRecording();
      leaveListening();
      shutInput();
    },
    [],
  );
  useActions("Recordings", [
    { id: "record", name: "Record, or stop recording", keys: ["r"], run: toggle },
    {
      id: "listen",
      name: "Listen to the recording that is open, or stop",
      keys: ["l"],
      run: listenOrStop,
      disabled: () => (shownRecording.value?.peak ?? null) === null,
    },
    { id: "open-input", name: "Open the microphone or line input", keys: [], run: () => void openInput() },
    { id: "shut-input", name: "Close the microphone or line input", keys: [], run: shutInput },
  ]);
  if (opened.value === null) return null;
  const shown = shownRecording.value;
  return (
    <div class="recordings">
      <RecordForm />
      {busy.value !== null && (
        <Waiting
          key={busy.value.words}
          words={busy.value.words}
          done={busy.value.done}
          onStop={busy.value.stop}
        />
      )}
      {keptTrouble.value !== null && (
        <p role="alert" class="trouble">
          {keptTrouble.value}
        </p>
      )}
      <Unkept />
      {shown !== null && <ResultView recording={shown} />}
      <List />
    </div>
  );
}

/** A recording that the folder could not take is not thrown away. */
function Unkept() {
  if (unkept.value === null || busy.value !== null) return null;
  const { about, sound } = unkept.value;
  return (
    <p class="line">
      <span class="warn">What you played is not kept in the folder, and goes when this page is closed.</span>
      <button type="button" onClick={() => void bring(about, sound)}>
        Keep it
      </button>
      <button type="button" onClick={() => saveFile(sound, `${about.title}.wav`)}>
        Export as WAV
      </button>
      <button
        type="button"
        onClick={() => {
          unkept.value = null;
        }}
      >
        Throw it away
      </button>
    </p>
  );
}

function RecordForm() {
  const needsInput = by.value === "microphone" && inputState.value !== "open";
  return (
    <section aria-labelledby="record-head">
      <h2 id="record-head">Record what you play</h2>
      <div class="line">
        <label class="field">
          <span>What</span>
          <select
            value={wanted()?.key}
            disabled={recording.value !== "no"}
            onChange={(event) => {
              what.value = event.currentTarget.value;
            }}
          >
            <PartOptions />
          </select>
        </label>
        <label class="field">
          <span>With</span>
          <select
            value={by.value}
            disabled={recording.value !== "no"}
            onChange={(event) => {
              by.value = event.currentTarget.value as typeof by.value;
              if (by.value === "notes") void openMidi();
              if (by.value !== "microphone") shutInput();
            }}
          >
            <option value="microphone">microphone or line input</option>
            <option value="notes">MIDI notes</option>
            <option value="keys">the keys F and J</option>
          </select>
        </label>
        {by.value !== "microphone" && (
          <label class="field">
            <span>Each stands for</span>
            <select
              value={hands.value}
              onChange={(event) => {
                hands.value = event.currentTarget.value as HandsHeard;
              }}
            >
              <option value="both">every sound</option>
              <option value="fader">a cut of the fader</option>
              <option value="record">a stroke of the record</option>
            </select>
          </label>
        )}
        <button
          type="button"
          class="record"
          aria-pressed={recording.value !== "no"}
          disabled={
            recording.value === "no" &&
            (needsInput || !cautionSeen.value || wanted() === undefined || busy.value !== null)
          }
          onClick={toggle}
        >
          {recording.value === "no" ? "Record" : "Stop"}
        </button>
        <span role="status">
          {recording.value === "starting" ? "Counting in…" : recording.value === "on" ? "Recording" : ""}
        </span>
      </div>
      {by.value === "microphone" && <Input />}
      {by.value === "notes" && (midiState.value === "refused" || midiState.value === "absent") && (
        <p class="trouble">No MIDI was let in. Allow MIDI for this page, and choose MIDI notes again.</p>
      )}
      {!cautionSeen.value && (
        <p class="quiet">
          Recording plays along. Play once first: the caution about loudness is shown before the first sound.
        </p>
      )}
      {recordTrouble.value !== null && (
        <p role="alert" class="trouble">
          {recordTrouble.value}
        </p>
      )}
      <p class="quiet">
        It plays along after a count-in at {Math.round(speed.value * 100)} % speed, and stops by itself at the
        end.
        {by.value === "microphone" &&
          inputState.value === "open" &&
          ` ${allowedMs().toFixed(1)} ms of delay from loudspeaker to input are allowed for; Rehearse measures it.`}
      </p>
      <BringFile />
    </section>
  );
}

function Input() {
  const open = inputState.value === "open";
  const peak = inputPeak.value;
  const decibels = peak > 0 ? 20 * Math.log10(peak) : Number.NEGATIVE_INFINITY;
  return (
    <div class="input">
      <div class="line">
        {inputs.value.length > 0 && (
          <label class="field">
            <span>Input</span>
            <select
              value={inputId.value}
              onChange={(event) => {
                inputId.value = event.currentTarget.value;
                void openInput();
              }}
            >
              <option value="">the browser’s own choice</option>
              {inputs.value
                .filter(({ id }) => id !== "")
                .map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name}
                  </option>
                ))}
            </select>
          </label>
        )}
        <button
          type="button"
          disabled={inputState.value === "asking" || recording.value !== "no"}
          onClick={() => (open ? shutInput() : void openInput())}
        >
          {open ? "Close the input" : "Open the input"}
        </button>
        {open && (
          <>
            <meter
              aria-label="Level of the input"
              min={-60}
              max={0}
              low={-40}
              high={-1}
              optimum={-12}
              value={Math.max(-60, decibels)}
            />
            <span class="level">
              {decibels < -60 ? "silent" : `${Math.round(decibels)} dB`}
              {decibels > -0.5 && <span class="warn"> too loud</span>}
            </span>
          </>
        )}
      </div>
      {inputTrouble.value !== null && (
        <p role="alert" class="trouble">
          {inputTrouble.value}
        </p>
      )}
      {!open && (
        <p class="quiet">
          Nothing is listened to before you open the input, and nothing leaves this machine. An open
          microphone beside loudspeakers can howl: turn it down, or use headphones. Ask whoever else is heard
          for their consent.
        </p>
      )}
    </div>
  );
}

function BringFile() {
  return (
    <label class="field bring">
      <span>Or bring a WAV file that begins where “What” begins</span>
      <input
        type="file"
        accept=".wav,audio/wav"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          const aim = wanted();
          event.currentTarget.value = "";
          if (file === undefined || aim === undefined) return;
          void bring({ ...aboutOf(aim), speed: speed.value, by: "file", hands: "both", allowedMs: 0 }, file);
        }}
      />
    </label>
  );
}

const HOW = { microphone: "input", file: "file", keys: "keys", notes: "MIDI notes" } as const;

function List() {
  const all = lines.value;
  return (
    <section aria-labelledby="list-head">
      <h2 id="list-head">Recordings</h2>
      {all === null &&
        (keptTrouble.value === null ? (
          <p role="status" class="quiet">
            Looking into the folder…
          </p>
        ) : (
          <button type="button" onClick={() => void loadLines()}>
            Look into the folder again
          </button>
        ))}
      {all?.length === 0 && (
        <p>
          There is no recording of this routine yet. Choose what to play, open the input, and press Record or
          the key R.
        </p>
      )}
      {unread.value > 0 && (
        <p class="warn">{unread.value} notes of recordings could not be read; they are left as they are.</p>
      )}
      {all !== null && all.length > 0 && (
        <table>
          <thead>
            <tr>
              <th scope="col">When</th>
              <th scope="col">What</th>
              <th scope="col" class="wide">
                By
              </th>
              <th scope="col">Spread</th>
              <th scope="col" class="wide">
                As a whole
              </th>
              <th scope="col">
                <span class="unseen">Put away</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {all.map((line) => (
              <tr key={line.id} aria-current={shownRecording.value?.id === line.id ? "true" : undefined}>
                <td>
                  {new Date(line.at).toLocaleString("en-GB", { dateStyle: "short", timeStyle: "short" })}
                </td>
                <td>
                  <button
                    type="button"
                    class="plain"
                    disabled={busy.value !== null}
                    onClick={() => void show(line.id)}
                  >
                    {line.title}
                    {line.speed !== 1 && `, ${Math.round(line.speed * 100)} %`}
                  </button>
                </td>
                <td class="wide">{HOW[line.by]}</td>
                <td>{line.result?.spreadMs == null ? "–" : `${line.result.spreadMs.toFixed(1)} ms`}</td>
                <td class="wide">{line.result?.lagMs == null ? "–" : lateText(line.result.lagMs)}</td>
                <td>
                  <button
                    type="button"
                    aria-label={`To the bin: ${line.title}`}
                    onClick={() => void toBin(line.id)}
                  >
                    To the bin
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
