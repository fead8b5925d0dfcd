/** Chooses what is written, a phrase or a beat, and shows its editor. */
import { opened } from "../state/store.ts";
import { goTo, place } from "../state/place.ts";
import { BeatEditor } from "./BeatEditor.tsx";
import { inHand, patternInHand } from "./inHand.ts";
import { NewBeat } from "./NewBeat.tsx";
import { NewPhrase } from "./NewPhrase.tsx";
import { PhraseEditor } from "./PhraseEditor.tsx";

/** A phrase, or with "beat " before its id a beat. */
export function WriteScreen() {
  const id = /^beat (.+)$/.exec(place.value.of)?.[1];
  const routine = opened.value?.routine;
  const beat = routine?.beats.find((one) => one.id === id);
  return (
    <>
      <div class="line">
        <label class="field">
          <span>Write</span>
          <select
            value={beat === undefined ? (patternInHand()?.id ?? "") : `beat ${beat.id}`}
            onChange={(e) => {
              inHand.value = { hand: "record", index: 0 };
              goTo("write", e.currentTarget.value);
            }}
          >
            <optgroup label="Phrases">
              {routine?.patterns.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.name ?? one.id}
                </option>
              ))}
            </optgroup>
            <optgroup label="Beats">
              {routine?.beats.map((one) => (
                <option key={one.id} value={`beat ${one.id}`}>
                  {one.name ?? one.id}
                </option>
              ))}
            </optgroup>
          </select>
        </label>
        <NewPhrase {...(beat === undefined && patternInHand() !== null ? { like: patternInHand()! } : {})} />
        <NewBeat />
      </div>
      {beat === undefined ? <PhraseEditor /> : <BeatEditor key={beat.id} beat={beat} />}
    </>
  );
}
