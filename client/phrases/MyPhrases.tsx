/** My phrases: what all routines of the folder share, found by name and label, put in, kept, brought and taken away. */
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { counted } from "../parts/music.ts";
import { useActions } from "../state/actions.ts";
import { addressOf, goTo } from "../state/place.ts";
import { opened } from "../state/shown.ts";
import { bring, bringing, giveAwayPacked, KINDS } from "./files.ts";
import { asMine, loadShelf, shelf } from "./shelf.ts";
import { Mine, Own, textOf } from "./ShelfRows.tsx";

const sought = signal("");
/** The hidden field that asks for a file. */
const chooseFile = signal<HTMLInputElement | null>(null);
const label = signal("");
/** So many are drawn at once. */
const SOME = 100;

export function MyPhrases() {
  const search = useRef<HTMLInputElement>(null);
  useEffect(() => void loadShelf(), []);
  useActions("My phrases", [
    { id: "search-phrases", name: "Search my phrases", keys: ["f"], run: () => search.current?.focus() },
    { id: "bring-file", name: "Bring a file", keys: [], run: () => chooseFile.value?.click() },
    { id: "pack", name: "Pack this routine with its sounds", keys: [], run: () => void giveAwayPacked() },
    { id: "leave-phrases", name: "Back to the routine", keys: ["Escape"], run: () => goTo("routine") },
  ]);
  const now = shelf.value;
  const routine = opened.value?.routine;
  if (routine === undefined) return null;
  const all = now.state === "there" ? now.phrases : [];
  const labels = [...new Set(all.flatMap((one) => one.labels ?? []))].sort();
  const words = sought.value.toLowerCase().split(/\s+/);
  const found = all.filter(
    (one) =>
      (label.value === "" || one.labels?.includes(label.value) === true) &&
      words.every((word) => textOf(one).includes(word)),
  );
  return (
    <div class="mine">
      <div class="line">
        <h2>My phrases</h2>
        <a href={addressOf("routine")}>Back to the routine</a>
      </div>
      <Files />
      {now.state === "trouble" && <p class="trouble">{now.why}</p>}
      {now.state === "loading" && <p role="status">Fetching your phrases…</p>}
      {now.state === "there" && all.length === 0 && (
        <p>
          Nothing is kept yet. Keep a phrase or a beat of this routine below: every routine in this folder can
          then use it.
        </p>
      )}
      {all.length > 0 && (
        <div class="line" role="search">
          <label class="field">
            <span>Search</span>
            <input
              ref={search}
              type="search"
              value={sought.value}
              onInput={(event) => {
                sought.value = event.currentTarget.value;
              }}
            />
          </label>
          {labels.length > 0 && (
            <label class="field">
              <span>Label</span>
              <select
                value={label.value}
                onChange={(event) => {
                  label.value = event.currentTarget.value;
                }}
              >
                <option value="">any</option>
                {labels.map((one) => (
                  <option key={one} value={one}>
                    {one}
                  </option>
                ))}
              </select>
            </label>
          )}
          <span class="quiet" role="status">
            {counted(found.length, "found", "found")}
          </span>
        </div>
      )}
      <ul class="things">
        {found.slice(0, SOME).map((mine) => (
          <Mine key={mine.id} mine={mine} />
        ))}
        {found.length > SOME && <li class="quiet">And {found.length - SOME} more: search for them.</li>}
      </ul>
      <h3>In this routine</h3>
      {routine.patterns.length + routine.beats.length === 0 && (
        <p class="quiet">No phrase and no beat yet: write one, or bring a file.</p>
      )}
      <ul class="things">
        {routine.patterns.map((pattern) => (
          <Own key={`pattern ${pattern.id}`} mine={asMine({ pattern })} known={all} />
        ))}
        {routine.beats.map((beat) => (
          <Own key={`beat ${beat.id}`} mine={asMine({ beat })} known={all} />
        ))}
      </ul>
    </div>
  );
}

function Files() {
  return (
    <div class="line">
      <button type="button" disabled={bringing.value} onClick={() => chooseFile.value?.click()}>
        {bringing.value ? "Bringing…" : "Bring a file…"}
      </button>
      <input
        ref={(field) => {
          chooseFile.value = field;
        }}
        type="file"
        accept={KINDS}
        multiple
        hidden
        onChange={({ currentTarget: field }) => {
          void bring([...(field.files ?? [])]);
          field.value = "";
        }}
      />
      <button type="button" onClick={() => void giveAwayPacked()}>
        Pack this routine with its sounds
      </button>
      <span class="quiet">
        A packed routine, or a file of phrases, can also be dropped anywhere on the page.
      </span>
    </div>
  );
}
