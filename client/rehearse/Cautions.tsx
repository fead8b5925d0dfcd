/** What is said once, where it matters: about strain, and about pauses. It can be silenced. */
import { NumberField } from "../parts/Fields.tsx";
import { pauseDue, pauseTaken } from "./care.ts";
import { cautions, drill, pauses } from "./settings.ts";

const read = (which: string): void => {
  cautions.value = [...cautions.value, which];
};

export function Cautions() {
  const due = (which: string): boolean => !cautions.value.includes(which);
  return (
    <>
      {due("strain") && (
        <div class="caution">
          <p>
            Fast movements, often repeated, strain hands and arms. Warm up slowly, and pause often. Pain,
            numbness or tingling mean stop; what lasts is for a doctor or a physiotherapist. The tempo climbs
            no higher than its ceiling ({drill.value.climb.ceiling} %), and falls back when rounds go wrong.
          </p>
          <button type="button" onClick={() => read("strain")}>
            Understood
          </button>
        </div>
      )}
    </>
  );
}

/** A pause is proposed; the playing is never stopped for it. */
export function Pause() {
  if (pauseDue.value === null) return null;
  return (
    <div class="caution" role="status">
      <p>{pauseDue.value} Pain, numbness or tingling mean stop.</p>
      <button type="button" onClick={pauseTaken}>
        Count anew
      </button>
      <button
        type="button"
        onClick={() => {
          pauses.value = { minutes: 0, moves: 0 };
        }}
      >
        Propose no more pauses
      </button>
    </div>
  );
}

export function PauseFields() {
  const { minutes, moves } = pauses.value;
  return (
    <div class="line">
      <NumberField
        label="Propose a pause after"
        unit="minutes, or"
        min={0}
        max={240}
        value={minutes}
        onValue={(after) => {
          pauses.value = { ...pauses.value, minutes: after };
        }}
      />
      <NumberField
        label="Propose a pause after so many strokes and clicks"
        shown={null}
        unit="strokes and clicks; 0: never"
        min={0}
        max={1_000_000}
        value={moves}
        onValue={(after) => {
          pauses.value = { ...pauses.value, moves: after };
        }}
      />
    </div>
  );
}
