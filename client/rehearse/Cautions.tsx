/** What is said once, where it matters: about strain, and about pauses. It can be silenced. */
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
  const number = (text: string, most: number): number =>
    Math.max(0, Math.min(most, Math.round(Number(text)) || 0));
  return (
    <div class="line">
      <label class="field">
        <span>Propose a pause after</span>
        <input
          type="number"
          class="number"
          min={0}
          max={240}
          value={minutes}
          onChange={(event) => {
            pauses.value = { ...pauses.value, minutes: number(event.currentTarget.value, 240) };
          }}
        />
        <span>minutes, or</span>
      </label>
      <label class="field">
        <input
          type="number"
          class="number"
          aria-label="Propose a pause after so many strokes and clicks"
          min={0}
          max={1_000_000}
          step={500}
          value={moves}
          onChange={(event) => {
            pauses.value = { ...pauses.value, moves: number(event.currentTarget.value, 1_000_000) };
          }}
        />
        <span>strokes and clicks; 0: never</span>
      </label>
    </div>
  );
}
