/** What can be put in at the spot, above the foot. */
import { signal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { playFrom } from "../audio/transport.ts";
import { NumberField } from "../parts/Fields.tsx";
import { counted } from "../parts/music.ts";
import { opened } from "../state/store.ts";
import { chosen } from "./chosen.ts";
import { Landing } from "./Landing.tsx";
import { gapAround } from "./lying.ts";
import { cutAtSpot, held, paste, putPhrase, putWords } from "./putting.ts";
import { placeText, player, spot, spotPlace } from "./spot.ts";

/** The panel to fill the gap is open. */
export const landing = signal(false);
/** Phrases that have a key, and a button each. */
export const WITH_KEYS = 9;

export function SpotPanel() {
  const state = opened.value;
  const here = spot.value;
  const at = spotPlace(state);
  const words = useRef<HTMLInputElement>(null);
  if (state === null || here === null || at === null || chosen.value.length > 0) return null;
  const { patterns } = state.routine;
  const gap = gapAround(state, at, player.value);
  return (
    <aside class="panel" aria-label="The spot">
      <div class="line">
        <strong>{placeText(state, here)}</strong>
        <button type="button" onClick={() => playFrom(here.section, here.at)}>
          Play from here
        </button>
        <NumberField
          label="Player"
          value={player.value}
          min={1}
          max={8}
          onValue={(number) => {
            player.value = number;
          }}
        />
        {gap === null ? (
          <button type="button" onClick={cutAtSpot}>
            Cut in two here
          </button>
        ) : (
          <button
            type="button"
            aria-expanded={landing.value}
            onClick={() => {
              landing.value = !landing.value;
            }}
          >
            Fill the gap so that it lands
          </button>
        )}
        {held.value.length > 0 && (
          <button type="button" onClick={paste}>
            Paste {counted(held.value.length, "placement")}
          </button>
        )}
        <button
          type="button"
          class="plain"
          onClick={() => {
            spot.value = null;
            landing.value = false;
          }}
        >
          Close
        </button>
      </div>
      {landing.value && gap !== null ? (
        <Landing key={`${gap.from} ${gap.to}`} gap={gap} />
      ) : (
        <div class="line" role="group" aria-label="Put in">
          <span class="quiet">Put in:</span>
          {patterns.slice(0, WITH_KEYS).map((pattern, index) => (
            <button key={pattern.id} type="button" onClick={() => putPhrase(pattern)}>
              <kbd>{index + 1}</kbd> {pattern.name ?? pattern.id}
            </button>
          ))}
          {patterns.length > WITH_KEYS && (
            <select
              aria-label="Another phrase to put in"
              value=""
              onChange={({ currentTarget: field }) => {
                const pattern = patterns.find(({ id }) => id === field.value);
                field.value = "";
                if (pattern !== undefined) putPhrase(pattern);
              }}
            >
              <option value="">another phrase…</option>
              {patterns.slice(WITH_KEYS).map(({ id, name }) => (
                <option key={id} value={id}>
                  {name ?? id}
                </option>
              ))}
            </select>
          )}
          {patterns.length === 0 && <span>there is no phrase yet: write one first.</span>}
          <form
            class="line"
            onSubmit={(event) => {
              event.preventDefault();
              if (words.current !== null) putWords(words.current.value.trim());
            }}
          >
            <input
              ref={words}
              id="words-for-hands"
              aria-label="Words for the hands"
              maxLength={200}
              list="words-offered"
            />
            <datalist id="words-offered">
              <option value="Needle to the second record" />
              <option value="Rest: let the beat speak" />
              <option value="Back to the cue" />
            </datalist>
            <button type="submit">Put in words</button>
          </form>
        </div>
      )}
    </aside>
  );
}
