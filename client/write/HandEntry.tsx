/** One hand as a line of words, and its step. */
import { useEffect, useRef } from "preact/hooks";
import type { Pattern } from "../../schemas/routine.ts";
import { Help } from "../parts/Help.tsx";
import { stepName, STEPS } from "../parts/music.ts";
import { noteNames } from "../state/settings.ts";
import { cellsText, readCells, readStrokes, strokesText } from "./entry.ts";
import { keep, trying } from "./inHand.ts";
import { type Hand, withItems } from "./phrase.ts";

export function HandEntry(props: { hand: Hand; pattern: Pattern }) {
  const { hand, pattern } = props;
  const ref = useRef<HTMLInputElement>(null);
  const text = hand === "record" ? strokesText(pattern.record.strokes) : cellsText(pattern.fader.cells);
  const read = (value: string): Pattern | null => {
    const items = hand === "record" ? readStrokes(value) : readCells(value);
    const trouble = "trouble" in items ? items.trouble : "";
    ref.current?.setCustomValidity(trouble);
    return "trouble" in items ? null : withItems(pattern, hand, items.items);
  };
  // What others change shows here, but never under the fingers of whoever types.
  useEffect(() => {
    if (ref.current !== null && document.activeElement !== ref.current) ref.current.value = text;
  }, [text]);
  const stepNow = pattern[hand].step;
  return (
    <div class="line">
      <label class="field entry-field">
        <span>{hand === "record" ? "Record hand" : "Fader hand"}</span>
        <input
          ref={ref}
          class="entry"
          defaultValue={text}
          onBlur={(e) => {
            e.currentTarget.value = text;
          }}
          onInput={(e) => {
            const next = read(e.currentTarget.value);
            if (next !== null) trying.value = next;
          }}
          onChange={(e) => {
            const next = read(e.currentTarget.value);
            if (next === null) ref.current?.reportValidity();
            else keep(next, "Write the phrase");
          }}
        />
      </label>
      <label class="field">
        <span>
          <Help term="step">Step</Help>
        </span>
        <select
          aria-label={`Step of the ${hand} hand`}
          value={stepNow}
          onChange={(e) =>
            keep({ ...pattern, [hand]: { ...pattern[hand], step: e.currentTarget.value } }, "Change the step")
          }
        >
          {[...new Set([stepNow, ...STEPS])].map((one) => (
            <option key={one} value={one}>
              {one} {stepName(one, noteNames.value)}
            </option>
          ))}
        </select>
      </label>
    </div>
  );
}
