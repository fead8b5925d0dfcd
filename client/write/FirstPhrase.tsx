/** What a routine without phrases shows: how one begins. */
import { useActions } from "../state/actions.ts";
import { newPhrase, STARTS } from "./phraseList.ts";
import { startTapping } from "./tap/tapping.ts";

function tapOne(): void {
  newPhrase();
  startTapping();
}

export function FirstPhrase() {
  useActions(
    "Begin",
    STARTS.map((start, index) => ({
      id: `begin-${index}`,
      name: `Begin a phrase: ${start.name}`,
      keys: [`${index + 1}`],
      run: () => newPhrase(start),
    })),
  );
  return (
    <section class="first-phrase">
      <h2>Begin with a phrase</h2>
      <p>
        A phrase is two cycles that go round at once: strokes of the record hand, and cells of the fader hand.
        Where their lengths differ, the phrase shifts against the bar until both come round together. Take one
        of these; you can change everything in it, and hear it in a loop with Play.
      </p>
      <ul>
        {STARTS.map((start, index) => (
          <li key={start.name}>
            <button type="button" onClick={() => newPhrase(start)}>
              <kbd>{index + 1}</kbd> {start.name}
            </button>{" "}
            <span class="quiet">{start.says}</span>
          </li>
        ))}
        <li>
          <button type="button" onClick={tapOne}>
            Tap one over the beat
          </button>{" "}
          <span class="quiet">with keys, pads or a MIDI device, while the beat or a click runs</span>
        </li>
      </ul>
      <p class="quiet">
        Then drag on the rows, type the hands as words, or press one key a stroke: <kbd>F</kbd> forward,{" "}
        <kbd>B</kbd> back, <kbd>H</kbd> hold; <kbd>O</kbd> open, <kbd>N</kbd> closed, <kbd>C</kbd> click,{" "}
        <kbd>P</kbd> pulse; <kbd>1</kbd> to <kbd>9</kbd> steps long. <kbd>?</kbd> lists every key. When it
        sounds right, put it into a section on the Routine screen.
      </p>
    </section>
  );
}
