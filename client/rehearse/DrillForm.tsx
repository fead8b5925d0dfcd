/** How it is practised: every choice of the drill, and the rules of the climb in a sentence. */
import type { Drill } from "../../schemas/drill.ts";
import { HeardParts } from "../../schemas/drill.ts";
import type { CountedBy } from "../../schemas/soundWire.ts";
import { climbText } from "./climb.ts";
import { HEARD_WORDS } from "./heard.ts";
import { parts } from "./plan.ts";
import { choose, chosenKey, chosenParts, JOINS } from "./session.ts";
import { drill } from "./settings.ts";

const set = (what: Partial<Drill>): void => {
  drill.value = { ...drill.value, ...what };
};
const KINDS = { join: "Joins", phrase: "Phrases", section: "Sections", whole: "The whole" } as const;

function Numbered(props: {
  label: string;
  value: number;
  min: number;
  max: number;
  unit: string;
  set: (value: number) => void;
}) {
  return (
    <label class="field">
      <span>{props.label}</span>
      <input
        type="number"
        class="number"
        min={props.min}
        max={props.max}
        value={props.value}
        onChange={(event) => {
          const value = Math.round(Number(event.currentTarget.value));
          if (event.currentTarget.value !== "" && Number.isFinite(value))
            props.set(Math.max(props.min, Math.min(props.max, value)));
        }}
      />
      <span>{props.unit}</span>
    </label>
  );
}

export function DrillForm() {
  const { heard, countIn, rest, tempo, climbs, climb, joinBars, silentEvery, goodFrom } = drill.value;
  const setClimb = (what: Partial<typeof climb>): void => set({ climb: { ...climb, ...what } });
  return (
    <section class="drill" aria-labelledby="drill-head">
      <h3 id="drill-head">The drill</h3>
      <label class="field">
        <span>Practise</span>
        <select
          value={chosenKey.value ?? chosenParts()[0]?.key ?? ""}
          onChange={(event) => choose(event.currentTarget.value)}
        >
          <option value={JOINS}>all joins, in random order</option>
          {(Object.keys(KINDS) as (keyof typeof KINDS)[]).map((kind) => (
            <optgroup key={kind} label={KINDS[kind]}>
              {parts.value
                .filter(({ of }) => of.kind === kind)
                .map(({ key, name, where }) => (
                  <option key={key} value={key}>
                    {where === "" ? name : `${name} (${where})`}
                  </option>
                ))}
            </optgroup>
          ))}
        </select>
      </label>
      <label class="field">
        <span>Heard</span>
        <select
          value={heard}
          onChange={(event) => set({ heard: HeardParts.parse(event.currentTarget.value) })}
        >
          {HeardParts.options.map((one) => (
            <option key={one} value={one}>
              {HEARD_WORDS[one]}
            </option>
          ))}
        </select>
      </label>
      <Numbered
        label="Count-in"
        value={countIn.clicks}
        min={0}
        max={64}
        unit="clicks"
        set={(clicks) => set({ countIn: { ...countIn, clicks } })}
      />
      <label class="field">
        <span>each</span>
        <select
          value={countIn.by}
          onChange={(event) => set({ countIn: { ...countIn, by: event.currentTarget.value as CountedBy } })}
        >
          <option value="beat">a beat</option>
          <option value="record">a group of the record hand</option>
          <option value="fader">a group of the fader hand</option>
        </select>
      </label>
      <Numbered
        label="Rest after each round"
        value={rest}
        min={0}
        max={60}
        unit="seconds"
        set={(seconds) => set({ rest: seconds })}
      />
      <Numbered
        label="Bars on each side of a join"
        value={joinBars}
        min={1}
        max={8}
        unit=""
        set={(bars) => set({ joinBars: bars })}
      />
      <Numbered
        label="Silent round, each"
        value={silentEvery}
        min={0}
        max={16}
        unit={silentEvery === 0 ? "(none)" : "rounds"}
        set={(every) => set({ silentEvery: every })}
      />
      {heard === "my-fader" && (
        <Numbered
          label="Taps judge a round good from"
          value={Math.round(goodFrom * 100)}
          min={0}
          max={100}
          unit={goodFrom === 0 ? "% (you judge)" : "% met, within 50 ms"}
          set={(percent) => set({ goodFrom: percent / 100 })}
        />
      )}
      <fieldset class="climb">
        <legend>Tempo</legend>
        <label class="field">
          <input
            type="checkbox"
            checked={climbs}
            onChange={(event) => set({ climbs: event.currentTarget.checked })}
          />
          <span>climbs by itself</span>
        </label>
        {climbs ? (
          <>
            <Numbered
              label="From"
              value={climb.start}
              min={25}
              max={200}
              unit="%"
              set={(start) => setClimb({ start })}
            />
            <Numbered
              label="to at most"
              value={climb.ceiling}
              min={25}
              max={200}
              unit="%"
              set={(ceiling) => setClimb({ ceiling })}
            />
            <Numbered
              label="Up by"
              value={climb.upBy}
              min={1}
              max={25}
              unit="%"
              set={(upBy) => setClimb({ upBy })}
            />
            <Numbered
              label="after"
              value={climb.upAfter}
              min={1}
              max={20}
              unit="good rounds"
              set={(upAfter) => setClimb({ upAfter })}
            />
            <Numbered
              label="Down by"
              value={climb.downBy}
              min={1}
              max={25}
              unit="%"
              set={(downBy) => setClimb({ downBy })}
            />
            <Numbered
              label="after"
              value={climb.downAfter}
              min={1}
              max={20}
              unit="bad rounds"
              set={(downAfter) => setClimb({ downAfter })}
            />
            <p class="quiet">{climbText(climb)}</p>
          </>
        ) : (
          <Numbered
            label="Always"
            value={tempo}
            min={25}
            max={200}
            unit="% of the written tempo"
            set={(percent) => set({ tempo: percent })}
          />
        )}
      </fieldset>
    </section>
  );
}
