/** One hand as a line of words, and its step. What cannot be read stays as it was typed, with what is wrong and where. */
import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Pattern } from "../../schemas/routine.ts";
import { Help } from "../parts/Help.tsx";
import { stepName, STEPS } from "../parts/music.ts";
import { noteNames } from "../state/settings.ts";
import { cellsText, readCells, readStrokes, strokesText } from "./entry.ts";
import { keep, letGoOfTrying, tryOut } from "./inHand.ts";
import { type Hand, withItems } from "./phrase.ts";

export function HandEntry(props: { hand: Hand; pattern: Pattern }) {
  const { hand, pattern } = props;
  const ref = useRef<HTMLInputElement>(null);
  const id = useId();
  const [trouble, setTrouble] = useState("");
  const text = hand === "record" ? strokesText(pattern.record.strokes) : cellsText(pattern.fader.cells);
  // What others change shows here, but never under the fingers of whoever types.
  useEffect(() => {
    if (ref.current === null || document.activeElement === ref.current) return;
    ref.current.value = text;
    setTrouble("");
  }, [text]);
  const read = (value: string) => (hand === "record" ? readStrokes(value) : readCells(value));
  const restore = (): void => {
    if (ref.current !== null) ref.current.value = text;
    setTrouble("");
    letGoOfTrying();
  };
  const stepNow = pattern[hand].step;
  return (
    <div class="line">
      <label class="field entry-field">
        <span class="hand-name">{hand === "record" ? "Record hand" : "Fader hand"}</span>
        <input
          ref={ref}
          class="entry"
          autocomplete="off"
          spellcheck={false}
          defaultValue={text}
          aria-invalid={trouble !== ""}
          aria-describedby={`${id}-trouble`}
          onKeyDown={(e) => {
            if (e.key === "Escape") restore();
          }}
          onInput={(e) => {
            const next = read(e.currentTarget.value);
            setTrouble("trouble" in next ? next.trouble : "");
            if (!("trouble" in next)) tryOut(withItems(pattern, hand, next.items));
          }}
          onChange={(e) => {
            const next = read(e.currentTarget.value);
            if ("trouble" in next) e.currentTarget.setSelectionRange(next.from, next.to);
            else keep(withItems(pattern, hand, next.items), "Write the phrase");
          }}
          onBlur={() => {
            if (trouble === "") restore();
            else letGoOfTrying();
          }}
        />
      </label>
      <span class="field">
        <span>
          <Help term="step" />
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
      </span>
      <p id={`${id}-trouble`} class="trouble entry-trouble" aria-live="polite">
        {trouble !== "" && `${trouble} Mend it there, or press Esc to have back what was there.`}
      </p>
    </div>
  );
}
