/** What is recorded and with what; and a file that was recorded elsewhere. */
import type { HandsHeard } from "../../schemas/recording.ts";
import { midiState, openMidi } from "../audio/midiIn.ts";
import { speed } from "../audio/transport.ts";
import { PartOptions } from "../rehearse/PartOptions.tsx";
import { inputState, shutInput } from "./input.ts";
import { InputPart } from "./InputPart.tsx";
import { bring } from "./keeping.ts";
import { busy } from "./kept.ts";
import {
  aboutOf,
  allowedMs,
  by,
  hands,
  INPUT_FIRST,
  recordOrStop,
  recordTrouble,
  STANDS_FOR,
  wanted,
  what,
} from "./recorder.ts";
import { recording } from "./taking.ts";
import { TapPads } from "./TapPads.tsx";

export function RecordForm() {
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
            <option value="keys">the keys F and J, or fingers</option>
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
              {Object.entries(STANDS_FOR).map(([value, words]) => (
                <option key={value} value={value}>
                  {words}
                </option>
              ))}
            </select>
          </label>
        )}
        <button
          type="button"
          class="record"
          aria-pressed={recording.value !== "no"}
          disabled={recording.value === "no" && (needsInput || wanted() === undefined || busy.value !== null)}
          onClick={recordOrStop}
        >
          {recording.value === "no" ? "Record" : "Stop"}
        </button>
        <span role="status">
          {recording.value === "starting" ? "Counting in…" : recording.value === "on" ? "Recording" : ""}
        </span>
      </div>
      {by.value === "microphone" && <InputPart />}
      {by.value === "keys" && <TapPads />}
      {by.value === "notes" && (midiState.value === "refused" || midiState.value === "absent") && (
        <p class="trouble">No MIDI was let in. Allow MIDI for this page, and choose MIDI notes again.</p>
      )}
      {recordTrouble.value !== null && !(recordTrouble.value === INPUT_FIRST && !needsInput) && (
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

function BringFile() {
  return (
    <label class="field bring">
      <span>Or bring a WAV file of it, recorded elsewhere from its first beat on</span>
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
