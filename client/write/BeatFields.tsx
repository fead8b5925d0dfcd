/** What is said of a beat in fields: its step and length, the grid that hits keep to, another drum, a hit's strength. */
import { type Beat, DEFAULT_VELOCITY, type Hit } from "../../schemas/routine.ts";
import { NumberField } from "../parts/Fields.tsx";
import { percussionName } from "../parts/keys.ts";
import { counted, STEPS, stepName, unitsOfText } from "../parts/music.ts";
import { noteNames } from "../state/settings.ts";
import { change } from "../state/change.ts";
import { changedTo, DRUMS, drumName, strikeAt, toggled } from "./beatHits.ts";
import { beatCaret, keepHits } from "./beatInHand.ts";

const isNamed = (key: number): boolean => percussionName(key) !== undefined;

export function BeatFields(props: {
  beat: Beat;
  hits: readonly Hit[];
  /** Keys of the drums that are shown. */
  lanes: readonly number[];
  /** Steps. */
  grid: number;
  onGrid: (grid: number) => void;
}) {
  const { beat, hits, lanes, grid, onGrid } = props;
  const caret = beatCaret.value;
  const here = strikeAt(hits, caret.key, caret.at);
  const sixteenth = sixteenthOf(beat);
  const set = (to: readonly Hit[], words: string): void => keepHits(beat, to, words);
  return (
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
        <select value={grid} onChange={(e) => onGrid(Number(e.currentTarget.value))}>
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
          .filter((key) => !lanes.includes(key))
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
  );
}

/** Steps of the beat in a sixteenth. */
export const sixteenthOf = ({ step }: Pick<Beat, "step">): number =>
  Math.max(1, Math.round(unitsOfText("1/16") / unitsOfText(step)));
