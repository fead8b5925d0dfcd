/** How taps become a cycle: onto which steps, from where, how long, and how long each lasts. */
import { NumberField, TickField } from "../../parts/Fields.tsx";
import { STEPS, stepName, unitsOfText } from "../../parts/music.ts";
import { noteNames } from "../../state/settings.ts";
import { spreadOn, type Tap } from "./taps.ts";

export interface How {
  /** Of a whole note, as "1/16". */
  readonly step: string;
  readonly from: "tap" | "bar";
  /** Steps; null: up to the last tap, or whole bars. */
  readonly length: number | null;
  readonly lasts: "next" | "held";
  /** What all are early or late together is taken off. */
  readonly takeOff: boolean;
}

/** Steps whose fit is shown. */
const TRIED = ["1/8", "1/12", "1/16", "1/24", "1/32"];

export function TapFields(props: {
  how: How;
  taps: readonly Tap[];
  /** Units that all are late together. */
  late: number;
  /** Units in milliseconds, as it is shown. */
  ms: (units: number) => string;
  onHow: (how: How) => void;
}) {
  const { how, taps, late, ms } = props;
  const set = (some: Partial<How>): void => props.onHow({ ...how, ...some });
  return (
    <div class="line">
      <label class="field">
        <span>Onto</span>
        <select value={how.step} onChange={(e) => set({ step: e.currentTarget.value })}>
          {[...new Set([how.step, ...STEPS])].map((one) => (
            <option key={one} value={one}>
              {one} {stepName(one, noteNames.value)}
              {TRIED.includes(one) && taps.length > 1 ? `: ${ms(spreadOn(taps, unitsOfText(one)))} off` : ""}
            </option>
          ))}
        </select>
      </label>
      <label class="field">
        <span>from</span>
        <select value={how.from} onChange={(e) => set({ from: e.currentTarget.value as How["from"] })}>
          <option value="tap">the first tap</option>
          <option value="bar">the bar line before it</option>
        </select>
      </label>
      <NumberField
        label="steps in the cycle"
        min={1}
        max={1_000_000}
        placeholder={how.from === "tap" ? "to last tap" : "whole bars"}
        value={how.length}
        onValue={(length) => set({ length })}
        onNone={() => set({ length: null })}
      />
      <label class="field">
        <span>each lasts</span>
        <select value={how.lasts} onChange={(e) => set({ lasts: e.currentTarget.value as How["lasts"] })}>
          <option value="next">until the next</option>
          <option value="held">as long as it was held</option>
        </select>
      </label>
      <TickField
        label={`take off what all are ${late < 0 ? "early" : "late"} together${taps.length > 1 ? `: ${ms(late)}` : ""}`}
        value={how.takeOff}
        onValue={(takeOff) => set({ takeOff })}
      />
    </div>
  );
}
