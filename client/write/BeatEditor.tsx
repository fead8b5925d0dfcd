/** A beat on bar rows of its own: drawn with the pointer, by a caret and keys, or as numbers of steps. */
import { useRef, useState } from "preact/hooks";
import type { Beat, Hit, Routine } from "../../schemas/routine.ts";
import { useByItself } from "../audio/byItself.ts";
import { unitsOfText } from "../parts/music.ts";
import { scrolls, tapped } from "../parts/tapped.ts";
import { useWidth } from "../parts/width.ts";
import { RecordedBeat } from "../sounds/RecordedBeat.tsx";
import { homeOfBeat } from "../sounds/recordedBeats.ts";
import { opened } from "../state/shown.ts";
import { BeatBar } from "./BeatBar.tsx";
import { dragHit } from "./beatDrag.ts";
import { BeatFields, sixteenthOf } from "./BeatFields.tsx";
import { drumName, lanesOf, strikeAt, strikesOf, toggled } from "./beatHits.ts";
import { useBeatKeys } from "./beatKeys.ts";
import { tempoOf } from "./phrase.ts";
import { beatCaret, hitsNow, keepHits, showHits } from "./beatInHand.ts";
import { DrumLine } from "./DrumLine.tsx";

const LANE = 24;
/** Left of the bars: the drums' names, pixels. */
const LANES = 148;
const MOST_BARS = 64;

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
  const [grid, setGrid] = useState(() => sixteenthOf(beat));
  const caret = beatCaret.value;
  const hits = hitsNow(beat.id);
  const keys = lanesOf(hits);
  const set = (to: readonly Hit[], words?: string): void => keepHits(beat, to, words);
  const here = strikeAt(hits, caret.key, caret.at);
  useBeatKeys(beat, grid);
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
      <BeatFields beat={beat} hits={hits} lanes={keys} grid={grid} onGrid={setGrid} />
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
