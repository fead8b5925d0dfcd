/** The limits of the user's own hands: what phrases and joins are held against. Empty: as it is where nothing is said. */
import { DEFAULT_LIMITS, type Rig } from "../../schemas/routine.ts";
import { NumberField } from "../parts/Fields.tsx";
import { change } from "../state/change.ts";
import { withRoutine } from "../state/turn.ts";

type Limits = NonNullable<Rig["limits"]>;
type Name = keyof typeof DEFAULT_LIMITS;

interface Limit {
  readonly name: Name;
  readonly says: string;
  readonly unit: string;
  /** Of the file's schema. */
  readonly most: number;
}
export const LIMITS: readonly Limit[] = [
  { name: "clicks", says: "Clicks with one finger", unit: "a second, at most", most: 1000 },
  {
    name: "splitClicks",
    says: "Clicks in a split cell, fingers taking turns",
    unit: "a second, at most",
    most: 1000,
  },
  { name: "strokes", says: "Strokes", unit: "a second, at most", most: 1000 },
  { name: "splitStrokes", says: "Moves in a split stroke", unit: "a second, at most", most: 1000 },
  { name: "closedMs", says: "Fader closed for a click", unit: "milliseconds, at least", most: 10_000 },
  { name: "openMs", says: "Fader open", unit: "milliseconds, at least", most: 10_000 },
  {
    name: "speed",
    says: "The record’s speed under the hand",
    unit: "times the platter’s, at most",
    most: 1000,
  },
  {
    name: "unheardDegrees",
    says: "A way back that goes unheard at a join",
    unit: "degrees, at most",
    most: 3600,
  },
  { name: "changeSeconds", says: "Going over to another sample", unit: "seconds, as a whole", most: 600 },
];

const keep = (next: Limits, words: string): void =>
  change({ kind: "change-rig", set: { limits: Object.keys(next).length === 0 ? null : next } }, words);
export const takeDefaults = (): void => keep({}, "Take the limits as they are where nothing is said");

export function LimitFields(props: { limits: Limits }) {
  const { limits } = props;
  return (
    <fieldset>
      <legend>Limits of your hands</legend>
      <p class="quiet">
        What a phrase asks of you is held against these. Take what you can do for a minute without strain;
        pain or numbness means stop. Where a field is empty, the figure in grey counts.
      </p>
      {LIMITS.map((limit) => (
        <LimitField
          key={limit.name}
          limit={limit}
          now={limits[limit.name]}
          keep={(value) =>
            withRoutine(({ rig }) => {
              const { [limit.name]: _, ...rest } = rig?.limits ?? {};
              const next = value === null ? rest : { ...rest, [limit.name]: value };
              keep(next, `Change a limit: ${limit.says.toLowerCase()}`);
            })
          }
        />
      ))}
      <button type="button" disabled={Object.keys(limits).length === 0} onClick={takeDefaults}>
        All as where nothing is said
      </button>
    </fieldset>
  );
}

function LimitField(props: { limit: Limit; now: number | undefined; keep: (value: number | null) => void }) {
  const { limit, now, keep } = props;
  return (
    <div class="line limit">
      <NumberField
        label={limit.says}
        value={now ?? null}
        min={0}
        max={limit.most}
        positive
        step="any"
        placeholder={String(DEFAULT_LIMITS[limit.name])}
        onValue={keep}
        onNone={() => keep(null)}
      />
      <span class="quiet">{limit.unit}</span>
    </div>
  );
}
