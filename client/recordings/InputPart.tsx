/** The microphone or line input: chosen, opened, and how loud it comes in. */
import { inputId, inputPeak, inputs, inputState, inputTrouble, openInput, shutInput } from "./input.ts";
import { recording } from "./taking.ts";

export function InputPart() {
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
