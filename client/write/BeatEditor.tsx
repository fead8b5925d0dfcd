/** A beat on bar rows of its own: drawn with the pointer, by a caret and keys, or as numbers of steps. */
import { useRef, useState } from "preact/hooks";
import { type Beat, DEFAULT_VELOCITY, type Hit, type Routine } from "../../schemas/routine.ts";
import { useByItself } from "../audio/byItself.ts";
import { NumberField } from "../parts/Fields.tsx";
import { percussionName } from "../parts/keys.ts";
import { counted, STEPS, stepName, unitsOfText } from "../parts/music.ts";
import { scrolls, tapped } from "../parts/tapped.ts";
import { useWidth } from "../parts/width.ts";
import { RecordedBeat } from "../sounds/RecordedBeat.tsx";
import { homeOfBeat } from "../sounds/recordedBeats.ts";
import { useActions } from "../state/actions.ts";
import { noteNames } from "../state/settings.ts";
import { change, opened } from "../state/store.ts";
import { BeatBar } from "./BeatBar.tsx";
import { dragHit } from "./beatDrag.ts";
import { copyBeat, moveBeat, removeBeat } from "./beatList.ts";
import { changedTo, DRUMS, drumName, strikeAt, strikesOf, toggled } from "./beatHits.ts";
import { tempoOf } from "./phrase.ts";
import { beatCaret, hitsNow, keepHits, showHits } from "./beatInHand.ts";
import { DrumLine } from "./DrumLine.tsx";

const LANE = 24;
/** Left of the bars: the drums' names, pixels. */
const LANES = 148;
const MOST_BARS = 64;
const isNamed = (key: number): boolean => percussionName(key) !== undefined;

function aloneWith(routine: Routine, beat: Beat): Routine {
  const section = routine.sections.find((one) => one.beat === beat.id) ?? routine.sections[0]!;
  const { beatContinues: _, beatRests: __, ...rest } = section;
  const bars = Math.max(1, Math.ceil((unitsOfText(beat.step) * beat.steps) / unitsOfText(section.meter)));
  // A recording is judged at its own speed.
  const tempo = beat.recorded?.tempo ?? tempoOf(section);
  return {
    ...routine,
    patterns: [],
    beats: [beat],
    sections: [{ ...rest, tempo, bars, beat: beat.id, placements: [] }],
  };
}

export function BeatEditor(props: { beat: Beat }) {
  const { beat } = props;
  const ref = useRef<HTMLDivElement>(null);
  const width = Math.max(160, useWidth(ref) - LANES);
  const routine = opened.value?.routine;
  const step = unitsOfText(beat.step);
  const sixteenth = Math.max(1, Math.round(unitsOfText("1/16") / step));
  const [grid, setGrid] = useState(sixteenth);
  const caret = beatCaret.value;
  const hits = hitsNow(beat.id);
  const lanesOf = (of: readonly Hit[]): readonly number[] =>
    [...new Set([...of.map(({ key }) => key), 36, 38, 42])].sort((a, b) => a - b);
  const keys = lanesOf(hits);
  const set = (to: readonly Hit[], words?: string): void => keepHits(beat, to, words);
  const here = strikeAt(hits, caret.key, caret.at);
  // Keys ask for hits and caret at the time: the next one may come before anything is drawn.
  const stronger = (by: number) => (): void => {
    const { key, at } = beatCaret.value;
    const now = hitsNow(beat.id);
    const hit = strikeAt(now, key, at);
    if (hit !== undefined)
      set(changedTo(now, hit, { ...hit, velocity: hit.velocity + by }), "Change a hit’s strength");
  };
  const along = (by: number) => (): void => {
    const { key, at } = beatCaret.value;
    beatCaret.value = { key, at: (at + by * grid + beat.steps) % beat.steps };
  };
  const over = (by: number) => (): void => {
    const { key, at } = beatCaret.value;
    const lanes = lanesOf(hitsNow(beat.id));
    beatCaret.value = { key: lanes[(lanes.indexOf(key) + by + lanes.length) % lanes.length]!, at };
  };
  const toggleHere = (): void => {
    const { key, at } = beatCaret.value;
    set(toggled(hitsNow(beat.id), key, at));
  };
  useActions(
    "Write a beat",
    [
      { id: "d-left", name: "To the step before", keys: ["ArrowLeft"], run: along(-1) },
      { id: "d-right", name: "To the next step", keys: ["ArrowRight"], run: along(1) },
      { id: "d-up", name: "To the drum above", keys: ["ArrowUp"], run: over(-1) },
      { id: "d-down", name: "To the drum below", keys: ["ArrowDown"], run: over(1) },
      {
        id: "d-hit",
        name: "Put a hit there, or take it out",
        keys: ["Enter", "x"],
        run: toggleHere,
      },
      { id: "d-copy", name: "Copy the beat", keys: [], run: () => copyBeat(beat) },
      { id: "d-remove", name: "Remove the beat", keys: [], run: () => removeBeat(beat) },
      { id: "d-earlier", name: "Move the beat up in the list", keys: [], run: () => moveBeat(beat, -1) },
      { id: "d-later", name: "Move the beat down in the list", keys: [], run: () => moveBeat(beat, 1) },
      { id: "d-strong", name: "The hit stronger", keys: ["."], run: stronger(8) },
      { id: "d-soft", name: "The hit softer", keys: [","], run: stronger(-8) },
    ],
    [beat, grid],
  );
  useByItself(() => (routine === undefined ? null : aloneWith(routine, { ...beat, hits })), [beat, hits]);
  if (routine === undefined) return <div ref={ref} />;
  const home = homeOfBeat(routine.sections, beat.id)!;
  const perBar = Math.max(1, Math.round(unitsOfText(home.meter) / step));
  const bars = Math.min(MOST_BARS, Math.ceil(beat.steps / perBar));
  const every = Math.max(1, Math.round(unitsOfText(`1/${home.meter.split("/")[1]}`) / step));
  const pressed = (bar: number) => (event: PointerEvent & { currentTarget: SVGSVGElement }) => {
    if (event.button !== 0) return;
    const box = event.currentTarget.getBoundingClientRect();
    const key = keys[Math.floor((event.clientY - box.top) / LANE)];
    const exact = ((event.clientX - box.left) / width) * perBar;
    const at = bar * perBar + Math.floor(exact / grid + 0.5) * grid;
    if (key === undefined || at < 0) return;
    // A hit near the pointer is meant, also one that lies off the grid: a late snare.
    const found = strikesOf(hits).find((one) => one.key === key && Math.abs(one.at - at) < grid / 2);
    const near = found && strikeAt(hits, key, found.at);
    const place = near?.at ?? at;
    if (place >= beat.steps) return;
    const put = (): void => {
      beatCaret.value = { key, at: place };
      set(toggled(hits, key, place));
    };
    if (near === undefined && scrolls(event)) tapped(event, put);
    else if (near === undefined) put();
    else
      dragHit(
        event,
        hits,
        near,
        (pixels) => Math.round(((pixels / width) * perBar) / grid) * grid,
        beat.steps,
        (shown) => showHits(beat, shown),
        (dragged) => (dragged === null ? put() : set(dragged)),
      );
  };
  const where = `${drumName(caret.key)}, bar ${Math.floor(caret.at / perBar) + 1}, step ${(caret.at % perBar) + 1}`;
  return (
    <div ref={ref} class="write">
      <div class="line">
        <label class="field">
          <span>Step</span>
          <select
            value={beat.step}
            onChange={(e) =>
              change(
                { kind: "change-beat", id: beat.id, set: { step: e.currentTarget.value } },
                "Change the beat’s step",
              )
            }
          >
            {[...new Set([beat.step, ...STEPS])].map((one) => (
              <option key={one} value={one}>
                {stepName(one, noteNames.value)}
              </option>
            ))}
          </select>
        </label>
        <NumberField
          label="Length in steps"
          min={1}
          max={1_000_000}
          value={beat.steps}
          onValue={(steps) =>
            change({ kind: "change-beat", id: beat.id, set: { steps } }, "Change the beat’s length")
          }
        />
        <label class="field">
          <span>Hits keep to every</span>
          <select value={grid} onChange={(e) => setGrid(Number(e.currentTarget.value))}>
            {[...new Set([1, sixteenth, 2 * sixteenth])].map((one) => (
              <option key={one} value={one}>
                {counted(one, "step")}
              </option>
            ))}
          </select>
        </label>
        <select
          aria-label="Add a drum"
          value=""
          onChange={(e) => {
            const key = Number(e.currentTarget.value);
            if (e.currentTarget.value !== "") set(toggled(hits, key, 0), `Add ${drumName(key)}`);
            e.currentTarget.value = "";
          }}
        >
          <option value="">Add a drum…</option>
          {Array.from({ length: 128 }, (_, key) => key)
            .filter((key) => !keys.includes(key))
            .sort(
              (a, b) =>
                Number(b in DRUMS) - Number(a in DRUMS) || Number(isNamed(b)) - Number(isNamed(a)) || a - b,
            )
            .map((key) => (
              <option key={key} value={key}>
                {drumName(key)} ({key})
              </option>
            ))}
        </select>
        <NumberField
          key={`${caret.key} ${caret.at}`}
          label="Strength here"
          min={1}
          max={127}
          disabled={here === undefined}
          value={here?.velocity ?? DEFAULT_VELOCITY}
          onValue={(velocity) =>
            here !== undefined && set(changedTo(hits, here, { ...here, velocity }), "Change a hit’s strength")
          }
        />
      </div>
      <p class="quiet">
        Click to put a hit in or take it out; drag one along to move it, up for strength. Arrows move the
        frame, <kbd>Enter</kbd> puts a hit in it. In it now: <span aria-live="polite">{where}</span>
        {here === undefined ? ", no hit." : `, a hit of strength ${here.velocity}.`} As in{" "}
        {home.name ?? home.id}: {home.meter}.
      </p>
      <RecordedBeat beat={beat} />
      {Array.from({ length: bars }, (_, bar) => (
        <div key={bar} class="beat-row">
          <div class="lanes">
            <strong>{bars > 1 ? bar + 1 : ""}</strong>
            <div class="lane-names quiet">
              {keys.map((key) => (
                <span key={key}>{drumName(key)}</span>
              ))}
            </div>
          </div>
          <BeatBar
            hits={hits}
            keys={keys}
            bar={bar}
            perBar={perBar}
            steps={beat.steps}
            every={every}
            width={width}
            lane={LANE}
            caret={caret}
            onPointerDown={pressed(bar)}
          />
        </div>
      ))}
      {keys.map((key) => (
        <DrumLine key={key} beat={{ ...beat, hits }} drum={key} keep={(to) => set(to)} />
      ))}
    </div>
  );
}
