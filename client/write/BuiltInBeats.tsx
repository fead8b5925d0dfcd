/** The built-in beats: looked at, heard by moving through them, and one taken into the routine as one edit. */
import { useEffect, useRef, useState } from "preact/hooks";
import { BUILT_IN_BEATS, type BuiltInBeat } from "../../schemas/builtInBeats.ts";
import { FORMAT, type Routine, VERSION } from "../../schemas/routine.ts";
import { useByItself } from "../audio/byItself.ts";
import { leaveAfterMouse } from "../parts/leaveAfterMouse.ts";
import { counted, unitsOfText } from "../parts/music.ts";
import { useWidth } from "../parts/width.ts";
import { useActions } from "../state/actions.ts";
import { opened } from "../state/shown.ts";
import { BeatBar } from "./BeatBar.tsx";
import { addBeat } from "./beatList.ts";
import { tempoOf } from "./phrase.ts";

const LANE = 11;
/** Stands for every section that has no beat: no id begins so. */
const BARE = "-";

const perBarOf = ({ beat, meter }: BuiltInBeat): number =>
  Math.round(unitsOfText(meter) / unitsOfText(beat.step));
const barsOf = (one: BuiltInBeat): number => Math.ceil(one.beat.steps / perBarOf(one));

/** By itself, in its own metre. */
export const aloneBeat = (one: BuiltInBeat, tempo: number): Routine => ({
  format: FORMAT,
  version: VERSION,
  title: one.beat.name ?? "",
  patterns: [],
  beats: [{ ...one.beat, id: "beat" }],
  sections: [
    { id: "beat-by-itself", bars: barsOf(one), meter: one.meter, tempo, beat: "beat", placements: [] },
  ],
});

export function BuiltInBeats() {
  const ref = useRef<HTMLDivElement>(null);
  const width = Math.max(160, Math.min(520, useWidth(ref) - 24));
  const routine = opened.value?.routine;
  const [at, setAt] = useState(0);
  const [ours, setOurs] = useState(false);
  const bare = (routine?.sections ?? []).filter(({ beat }) => beat === undefined);
  const [wanted, setInto] = useState<string | null>(null);
  const into = wanted ?? (bare.length > 0 ? BARE : "");
  const chosen = BUILT_IN_BEATS[at]!;
  const first = routine?.sections[0];
  const tempo = first === undefined ? 92 : tempoOf(first);
  const take = (): void =>
    addBeat(chosen.beat, into === BARE ? bare : (routine?.sections ?? []).filter(({ id }) => id === into));
  const go = (by: number) => (): void =>
    setAt((now) => (now + by + BUILT_IN_BEATS.length) % BUILT_IN_BEATS.length);
  useActions(
    "Built-in beats",
    [
      { id: "b-next", name: "To the next beat", keys: ["ArrowDown", "ArrowRight"], run: go(1) },
      { id: "b-before", name: "To the beat before", keys: ["ArrowUp", "ArrowLeft"], run: go(-1) },
      { id: "b-take", name: "Take this beat into the routine", keys: ["Enter"], run: take },
    ],
    [at, into, routine],
  );
  useByItself(() => aloneBeat(chosen, ours ? tempo : chosen.tempo), [at, ours, tempo]);
  useEffect(() => {
    document.getElementById(`built-in-${at}`)?.scrollIntoView({ block: "nearest" });
  }, [at]);
  return (
    <div ref={ref} class="write">
      <p>
        Play, and go through them with the arrow keys: each is heard in a loop. Enter takes the one in hand
        into the routine, where it can be changed like any other.
      </p>
      <div class="line">
        <label class="field">
          <input type="checkbox" checked={ours} onChange={(e) => setOurs(e.currentTarget.checked)} />
          <span>Heard at the routine’s tempo, {tempo}, not at its own</span>
        </label>
        <label class="field">
          <span>Take it for</span>
          <select value={into} onChange={(e) => setInto(e.currentTarget.value)}>
            {bare.length > 0 && (
              <option value={BARE}>
                {bare.length === 1 ? (bare[0]!.name ?? bare[0]!.id) : "every section without a beat"}
              </option>
            )}
            <option value="">no section yet</option>
            {routine?.sections
              .filter(({ id }) => bare.length !== 1 || id !== bare[0]!.id)
              .map(({ id, name }) => (
                <option key={id} value={id}>
                  {name ?? id}
                </option>
              ))}
          </select>
        </label>
        <button type="button" onClick={take}>
          Take {chosen.beat.name}
        </button>
      </div>
      <ul class="built-in">
        {BUILT_IN_BEATS.map((one, index) => {
          const keys = [...new Set(one.beat.hits.map(({ key }) => key))].sort((a, b) => a - b);
          const beat = unitsOfText(`1/${one.meter.split("/")[1]}`) / unitsOfText(one.beat.step);
          return (
            <li key={one.beat.name} id={`built-in-${index}`} class={index === at ? "chosen" : ""}>
              <button
                type="button"
                aria-pressed={index === at}
                onClick={(event) => {
                  leaveAfterMouse(event);
                  setAt(index);
                }}
              >
                {one.beat.name}
              </button>
              <span>
                {one.meter}, {counted(barsOf(one), "bar")}, {one.tempo} <span class="quiet">{one.says}</span>
              </span>
              <div class="bars">
                {Array.from({ length: Math.min(2, barsOf(one)) }, (_, bar) => (
                  <BeatBar
                    key={bar}
                    hits={one.beat.hits}
                    keys={keys}
                    bar={bar}
                    perBar={perBarOf(one)}
                    steps={one.beat.steps}
                    every={beat}
                    width={width}
                    lane={LANE}
                  />
                ))}
                {barsOf(one) > 2 && <span class="quiet">and {counted(barsOf(one) - 2, "more bar")}</span>}
              </div>
            </li>
          );
        })}
      </ul>
    </div>
  );
}
