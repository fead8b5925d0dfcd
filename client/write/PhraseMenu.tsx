/** Which phrase or beat is written, what it is called, and how one begins, is copied and removed. */

import type { Beat, Pattern } from "../../schemas/routine.ts";
import { beginFind } from "../find/beginFind.ts";
import { FIND, findPlace } from "../find/findPlace.ts";
import { TextField } from "../parts/Fields.tsx";
import { IdField } from "../parts/IdField.tsx";
import { beforeWhich } from "../parts/order.ts";
import { BUILT_IN, addressOf, goTo, place, SAMPLES } from "../state/place.ts";
import { paperOf } from "../paper/address.ts";
import { opened } from "../state/shown.ts";
import { copyBeat, giveBeatId, moveBeat, newBeat, removeBeat, renameBeat } from "./beatList.ts";
import { toStart } from "./inHand.ts";
import {
  copyPhrase,
  givePhraseId,
  movePhrase,
  newPhrase,
  removePhrase,
  renamePhrase,
  STARTS,
} from "./phraseList.ts";

const NEW_BEAT = "beat";
const RECORDED = "recorded";
const LIBRARY = "library";

function begin(what: string): void {
  if (what === NEW_BEAT) newBeat();
  else if (what === RECORDED) newBeat([]);
  else if (what === LIBRARY) goTo("write", BUILT_IN);
  else if (what !== "") newPhrase(STARTS[Number(what)]);
}

/** What the address stands for, as an option of the menu. */
function here(pattern: Pattern | null, beat: Beat | null): string {
  const { of } = place.value;
  if (beat !== null) return `beat ${beat.id}`;
  if (pattern !== null) return pattern.id;
  return findPlace(of) !== null ? FIND : of === BUILT_IN ? BUILT_IN : "";
}

export function PhraseMenu(props: { pattern: Pattern | null; beat: Beat | null }) {
  const { pattern, beat } = props;
  const routine = opened.value?.routine;
  const thing = beat ?? pattern;
  return (
    <div class="line">
      <label class="field">
        <span>Write</span>
        <select
          value={here(pattern, beat)}
          onChange={(e) => {
            toStart();
            if (e.currentTarget.value === FIND) beginFind(pattern);
            else goTo("write", e.currentTarget.value);
          }}
        >
          <optgroup label="Phrases">
            {routine?.patterns.map((one) => (
              <option key={one.id} value={one.id}>
                {one.name ?? one.id}
              </option>
            ))}
            {here(pattern, beat) === "" && <option value="">none yet</option>}
            <option value={FIND}>find one</option>
          </optgroup>
          <optgroup label="Beats">
            {routine?.beats.map((one) => (
              <option key={one.id} value={`beat ${one.id}`}>
                {one.name ?? one.id}
              </option>
            ))}
            <option value={BUILT_IN}>the built-in ones</option>
          </optgroup>
        </select>
      </label>
      {thing !== null && (
        <>
          <TextField
            key={thing.id}
            label="Name"
            class="name"
            maxLength={200}
            value={thing.name ?? ""}
            placeholder={thing.id}
            read={(text) => text}
            takes=""
            onValue={(name) => {
              if (beat !== null) renameBeat(beat, name);
              else if (pattern !== null) renamePhrase(pattern, name);
            }}
          />
          <button type="button" onClick={beat === null ? copyPhrase : () => copyBeat(beat)}>
            Copy
          </button>
          <button type="button" onClick={beat === null ? removePhrase : () => removeBeat(beat)}>
            Remove
          </button>
        </>
      )}
      {pattern !== null && beat === null && <a href={paperOf({ kind: "phrase", id: pattern.id })}>Paper</a>}
      <button type="button" onClick={() => newPhrase()}>
        New phrase
      </button>
      <button type="button" onClick={() => beginFind(pattern)}>
        Find a phrase
      </button>
      <select
        aria-label="Begin something else"
        value=""
        onChange={(e) => {
          begin(e.currentTarget.value);
          e.currentTarget.value = "";
        }}
      >
        <option value="">Begin…</option>
        <optgroup label="A phrase from">
          {STARTS.map(({ name, says }, index) => (
            <option key={name} value={index} title={says}>
              {name}
            </option>
          ))}
        </optgroup>
        <optgroup label="A beat">
          <option value={NEW_BEAT}>A beat drawn from nothing</option>
          <option value={RECORDED}>A recorded beat</option>
          <option value={LIBRARY}>A built-in beat…</option>
        </optgroup>
      </select>
      <a href={addressOf("write", SAMPLES)}>Samples</a>
      <InTheList pattern={pattern} beat={beat} />
    </div>
  );
}

/** Its id, and its place among the others: the first nine phrases have a key on the Routine screen. */
function InTheList(props: { pattern: Pattern | null; beat: Beat | null }) {
  const { pattern, beat } = props;
  const routine = opened.value?.routine;
  const thing = beat ?? pattern;
  if (routine === undefined || thing === null) return null;
  const list = beat === null ? routine.patterns : routine.beats;
  const shift = (by: 1 | -1) => (): void => (beat === null ? movePhrase(by) : moveBeat(beat, by));
  const stays = (by: 1 | -1): boolean => beforeWhich(list, thing.id, by) === undefined;
  return (
    <details class="in-list">
      <summary>Id, order</summary>
      <div class="line">
        <IdField
          id={thing.id}
          others={list}
          onId={(to) => {
            if (beat !== null) giveBeatId(beat, to);
            else if (pattern !== null) givePhraseId(pattern, to);
          }}
        />
        <button type="button" class="plain" disabled={stays(-1)} onClick={shift(-1)}>
          Up in the list
        </button>
        <button type="button" class="plain" disabled={stays(1)} onClick={shift(1)}>
          Down in the list
        </button>
        <span class="quiet">
          {list.findIndex(({ id }) => id === thing.id) + 1} of {list.length}
        </span>
      </div>
    </details>
  );
}
