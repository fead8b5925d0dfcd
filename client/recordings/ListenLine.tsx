/** The sound of a recording beside what is meant, and taken away. */
import type { Recording } from "../../schemas/recording.ts";
import { exportSound } from "./kept.ts";
import { listen, listening, slowed, stopListening, whose } from "./listening.ts";

export function Listen({ recording }: { recording: Recording }) {
  return (
    <div class="line">
      <button
        type="button"
        aria-pressed={listening.value}
        onClick={() => (listening.value ? stopListening() : void listen(recording))}
      >
        {listening.value ? "Stop listening" : "Listen"} <kbd>L</kbd>
      </button>
      <label class="field">
        <span>to</span>
        <select
          value={whose.value}
          onChange={(event) => {
            whose.value = event.currentTarget.value as typeof whose.value;
          }}
        >
          <option value="both">both</option>
          <option value="own">what was played</option>
          <option value="meant">what is meant</option>
        </select>
      </label>
      <label class="field">
        <span>at</span>
        <select
          value={slowed.value}
          onChange={(event) => {
            slowed.value = Number(event.currentTarget.value);
          }}
        >
          <option value={1}>full speed</option>
          <option value={0.75}>three quarters</option>
          <option value={0.5}>half speed</option>
          <option value={0.25}>a quarter</option>
        </select>
      </label>
      <button type="button" onClick={() => void exportSound(recording)}>
        Export as WAV
      </button>
      <span class="quiet">
        From any bar: press its number below. Slower, both sink in pitch as a record does.
      </span>
    </div>
  );
}
