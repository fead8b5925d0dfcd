/** My phrases: what all routines of the folder share, found by name and label, put in, kept, brought and taken away. */
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { MyPhrase } from "../../schemas/phrases.ts";
import { TextField } from "../parts/Fields.tsx";
import { counted, stepName } from "../parts/music.ts";
import { useActions } from "../state/actions.ts";
import { addressOf, goTo } from "../state/place.ts";
import { noteNames } from "../state/settings.ts";
import { opened } from "../state/store.ts";
import { cellsText, strokesText } from "../write/entry.ts";
import { bring, bringing, giveAwayPacked, giveAwayPhrases, KINDS } from "./files.ts";
import {
  asMine,
  changeOnShelf,
  fromShelf,
  keepOnShelf,
  loadShelf,
  recordingOf,
  shelf,
  takeOffShelf,
} from "./shelf.ts";

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

/** What it is, in the words of the Write screen. */
function about(mine: MyPhrase): string {
  if ("beat" in mine)
    return `${mine.beat.recorded === undefined ? "Beat" : `Recorded beat, ${mine.beat.recorded.file}, ${mine.beat.recorded.tempo} quarters a minute,`} of ${counted(mine.beat.steps, "step")}; step: ${stepName(mine.beat.step, noteNames.value)}`;
  const { record, fader } = mine.pattern;
  const steps =
    record.step === fader.step
      ? stepName(record.step, noteNames.value)
      : `${stepName(record.step, noteNames.value)} and ${stepName(fader.step, noteNames.value)}`;
  return `${strokesText(record.strokes)} / ${cellsText(fader.cells)}; step: ${steps}`;
}
const textOf = (mine: MyPhrase): string =>
  `${mine.name} ${(mine.labels ?? []).join(" ")} ${about(mine)}`.toLowerCase();

function Mine({ mine }: { mine: MyPhrase }) {
  useActions(
    "My phrases",
    [
      {
        id: `in-${mine.id}`,
        name: `Put ${mine.name} into this routine`,
        keys: [],
        run: () => void fromShelf(mine),
      },
      {
        id: `off-${mine.id}`,
        name: `Remove ${mine.name} from my phrases`,
        keys: [],
        run: () => void takeOffShelf(mine.id),
      },
    ],
    [mine],
  );
  return (
    <li>
      <div class="line">
        <strong>{mine.name}</strong>
        <TextField
          label={`Labels of ${mine.name}`}
          shown="Labels"
          value={(mine.labels ?? []).join(", ")}
          read={(text) => {
            const labels = text.split(",").map((one) => one.trim());
            const said = [...new Set(labels.filter((one) => one !== ""))];
            return said.length <= 20 && said.every((one) => one.length <= 60) ? said : null;
          }}
          takes="Write up to 20 labels, with commas between them."
          onValue={(labels) => {
            const { labels: _, ...rest } = mine;
            void changeOnShelf(labels.length === 0 ? rest : { ...rest, labels });
          }}
        />
        <button type="button" onClick={() => void fromShelf(mine)}>
          Put into this routine
        </button>
        <SaveAsFile mine={mine} />
        <button type="button" onClick={() => void takeOffShelf(mine.id)}>
          Remove
        </button>
      </div>
      <p class="quiet">{about(mine)}</p>
    </li>
  );
}

/** A file of phrases carries no sounds: what plays one goes in a packed routine. */
function SaveAsFile({ mine }: { mine: MyPhrase }) {
  if (recordingOf(mine) !== null) return <span class="quiet">its recording goes in a packed routine</span>;
  return (
    <button type="button" onClick={() => giveAwayPhrases([mine], mine.name)}>
      Save as a file
    </button>
  );
}

function Own({ mine, known }: { mine: MyPhrase; known: readonly MyPhrase[] }) {
  const kept = known.some((one) => JSON.stringify(one) === JSON.stringify(mine));
  useActions(
    "My phrases",
    kept
      ? []
      : [
          {
            id: `keep-${mine.id}`,
            name: `Keep ${mine.name} in my phrases`,
            keys: [],
            run: () => void keepOnShelf(mine),
          },
        ],
    [kept, JSON.stringify(mine)],
  );
  return (
    <li>
      <div class="line">
        <strong>{mine.name}</strong>
        {kept ? (
          <span class="good">kept</span>
        ) : (
          <button type="button" onClick={() => void keepOnShelf(mine)}>
            {known.some(({ id }) => id === mine.id) ? "Keep this version" : "Keep in my phrases"}
          </button>
        )}
        <SaveAsFile mine={mine} />
      </div>
      <p class="quiet">{about(mine)}</p>
    </li>
  );
}
