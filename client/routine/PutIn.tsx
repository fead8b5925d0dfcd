/** What can be put in at the spot, or behind what is chosen: the phrases, each with its key, and words. */
import { useRef } from "preact/hooks";
import { opened } from "../state/shown.ts";
import { inTurn } from "../state/turn.ts";
import { putPhrase, putWords } from "./putting.ts";

/** Phrases that have a key, and a button each. */
export const WITH_KEYS = 9;

/** @param words with a field for words too */
export function PutIn({ says, words = false }: { says: string; words?: boolean }) {
  const patterns = opened.value?.routine.patterns ?? [];
  return (
    <div class="line" role="group" aria-label="Put in">
      <span class="quiet">{says}</span>
      {patterns.slice(0, WITH_KEYS).map((pattern, index) => (
        <button key={pattern.id} type="button" onClick={() => inTurn(() => putPhrase(pattern))}>
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
            if (pattern !== undefined) inTurn(() => putPhrase(pattern));
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
      {words && <WordsForm />}
    </div>
  );
}

function WordsForm() {
  const words = useRef<HTMLInputElement>(null);
  return (
    <form
      class="line"
      onSubmit={(event) => {
        event.preventDefault();
        const text = words.current?.value.trim() ?? "";
        inTurn(() => putWords(text));
      }}
    >
      <input
        ref={words}
        id="words-for-hands"
        aria-label="Words for the hands"
        maxLength={200}
        placeholder="words for the hands"
        list="words-offered"
      />
      <datalist id="words-offered">
        <option value="Needle to the second record" />
        <option value="Rest: let the beat speak" />
        <option value="Back to the cue" />
      </datalist>
      <button type="submit">Put in words</button>
    </form>
  );
}
