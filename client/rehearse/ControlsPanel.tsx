/** What steers it, and how it is learnt: press Learn, then the key, pedal, pad or fader. */
import { LetMidiIn, midiText } from "../audio/LetMidiIn.tsx";
import { NumberField, TickField } from "../parts/Fields.tsx";
import { opened } from "../state/shown.ts";
import { PauseFields } from "./Cautions.tsx";
import { faderOpen, learning, shutAtRight, sourceWords } from "./controls.ts";
import { openSecond } from "../far/here.ts";
import { bindings, COMMANDS, type Command, dim, faderManner, resetBindings } from "./settings.ts";

export function ControlsPanel() {
  const right = shutAtRight(opened.value?.routine.rig);
  return (
    <section class="controls" aria-labelledby="controls-head">
      <h3 id="controls-head">Keys, pedals, pads and faders</h3>
      <p class="quiet" role="status">
        {learning.value !== null
          ? `Press what is to be “${COMMANDS[learning.value]}”: a key, a MIDI pedal, pad, button or fader, or a gamepad. Esc: not now.`
          : midiText()}
      </p>
      <div class="line">
        <LetMidiIn />
        <button type="button" onClick={resetBindings}>
          Back to the first keys
        </button>
        <button type="button" onClick={openSecond}>
          Open a second window that follows
        </button>
        <TickField
          label="dim view for the stage"
          value={dim.value}
          onValue={(on) => {
            dim.value = on;
          }}
        />
      </div>
      <table>
        <thead>
          <tr>
            <th scope="col">Does</th>
            <th scope="col">Pressed by</th>
            <th scope="col">
              <span class="unseen">Learn</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {(Object.keys(COMMANDS) as Command[]).map((command) => (
            <tr key={command}>
              <th scope="row">{COMMANDS[command]}</th>
              <td>
                {bindings.value[command].length === 0 && <span class="quiet">nothing yet</span>}
                {bindings.value[command].map((source) => (
                  <span key={source}>
                    <kbd>{sourceWords(source)}</kbd>{" "}
                  </span>
                ))}
              </td>
              <td>
                <button
                  type="button"
                  aria-pressed={learning.value === command}
                  aria-label={`Learn: ${COMMANDS[command]}`}
                  onClick={() => {
                    learning.value = learning.value === command ? null : command;
                  }}
                >
                  Learn
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <div class="line">
        <label class="field">
          <span>A key or button held</span>
          <select
            value={faderManner.value.held}
            onChange={(event) => {
              faderManner.value = {
                ...faderManner.value,
                held: event.currentTarget.value as "opens" | "shuts",
              };
            }}
          >
            <option value="opens">opens the fader</option>
            <option value="shuts">shuts the fader</option>
          </select>
        </label>
        <NumberField
          label="A slide opens at"
          unit={`% of its way from its ${right ? "right" : "left"} end`}
          min={1}
          max={99}
          value={Math.round(faderManner.value.cutIn * 100)}
          onValue={(percent) => {
            faderManner.value = { ...faderManner.value, cutIn: percent / 100 };
          }}
        />
        <span class="quiet">
          Your fader is {faderOpen.value === true ? "open" : "closed"}. A slide is heard as one of two: open
          or closed.
        </span>
      </div>
      <PauseFields />
    </section>
  );
}
