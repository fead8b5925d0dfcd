/** How it is practised: every choice of the drill, and the rules of the climb in a sentence. */
import type { Drill } from "../../schemas/drill.ts";
import { HeardParts } from "../../schemas/drill.ts";
import type { CountedBy } from "../../schemas/soundWire.ts";
import { ChoiceField, NumberField, TickField } from "../parts/Fields.tsx";
import { climbText } from "./climb.ts";
import { HEARD_WORDS } from "./heard.ts";
import { opened } from "../state/shown.ts";
import { PartOptions } from "./PartOptions.tsx";
import { parts } from "./plan.ts";
import { chosenKey, chosenParts, JOINS } from "./choice.ts";
import { choose } from "./comingRound.ts";
import { drill } from "./settings.ts";

const set = (what: Partial<Drill>): void => {
  drill.value = { ...drill.value, ...what };
};

const COUNTED: readonly (readonly [CountedBy, string])[] = [
  ["bar", "bars of the metre"],
  ["beat", "beats"],
  ["record", "groups of the record hand"],
  ["fader", "groups of the fader hand"],
];

/** Sections that several joins lead into. */
const withJoins = () =>
  (opened.value?.routine.sections ?? []).flatMap(({ id, name }) => {
    const count = parts.value.filter(({ join }) => join?.to.section === id).length;
    return count > 1 ? [{ id, name: name ?? id, count }] : [];
  });

export function DrillForm() {
  const { heard, countIn, rest, tempo, climbs, climb, joinBars, silentEvery, goodFrom } = drill.value;
  return (
    <section class="drill" aria-labelledby="drill-head">
      <h3 id="drill-head">The drill</h3>
      <label class="field">
        <span>Practise</span>
        <select
          value={chosenKey.value ?? chosenParts()[0]?.key ?? ""}
          onChange={(event) => choose(event.currentTarget.value)}
        >
          <optgroup label="Several, in random order">
            <option value={JOINS}>all joins</option>
            {withJoins().map(({ id, name, count }) => (
              <option key={id} value={`${JOINS} ${id}`}>
                {`the ${count} joins of ${name}`}
              </option>
            ))}
          </optgroup>
          <PartOptions />
        </select>
      </label>
      <ChoiceField
        label="Heard"
        value={heard}
        options={HeardParts.options.map((one) => [one, HEARD_WORDS[one]] as const)}
        onValue={(one) => set({ heard: HeardParts.parse(one) })}
      />
      {heard === "my-fader" && (
        <p class="quiet">The program moves the record, and your fader lets it be heard.</p>
      )}
      {heard === "my-record" && (
        <p class="quiet">You move the record; the program’s fader is drawn, and ticks where it opens.</p>
      )}
      <div class="line">
        <NumberField
          label="Count-in"
          value={countIn.count}
          min={0}
          max={64}
          onValue={(count) => set({ countIn: { ...countIn, count } })}
        />
        <ChoiceField
          label="What is counted in"
          shown={null}
          value={countIn.by}
          options={COUNTED}
          onValue={(by) => set({ countIn: { ...countIn, by: by as CountedBy } })}
        />
      </div>
      <NumberField
        label="Rest after each round"
        value={rest}
        min={0}
        max={60}
        unit="seconds"
        onValue={(seconds) => set({ rest: seconds })}
      />
      <NumberField
        label="Bars on each side of a join"
        value={joinBars}
        min={1}
        max={8}
        unit=""
        onValue={(bars) => set({ joinBars: bars })}
      />
      <NumberField
        label="Without sound, one round in"
        value={silentEvery}
        min={0}
        max={16}
        unit={silentEvery === 0 ? "(never)" : "rounds"}
        onValue={(every) => set({ silentEvery: every })}
      />
      {heard === "my-fader" && (
        <NumberField
          label="Taps judge a round good from"
          value={Math.round(goodFrom * 100)}
          min={0}
          max={100}
          unit={goodFrom === 0 ? "% (you judge)" : "% met, within 50 ms"}
          onValue={(percent) => set({ goodFrom: percent / 100 })}
        />
      )}
      <fieldset class="climb">
        <legend>Tempo</legend>
        <TickField label="climbs by itself" value={climbs} onValue={(on) => set({ climbs: on })} />
        {climbs ? (
          <>
            <div class="line">
              <ClimbField label="From" of="start" min={25} max={200} unit="%" />
              <ClimbField label="to at most" of="ceiling" min={25} max={200} unit="%" />
            </div>
            <div class="line">
              <ClimbField label="Up by" of="upBy" min={1} max={25} unit="%" />
              <ClimbField label="after" of="upAfter" min={1} max={20} unit="good rounds" />
            </div>
            <div class="line">
              <ClimbField label="Down by" of="downBy" min={1} max={25} unit="%" />
              <ClimbField label="after" of="downAfter" min={1} max={20} unit="bad rounds" />
            </div>
            <p class="quiet">{climbText(climb)}</p>
          </>
        ) : (
          <NumberField
            label="Always"
            value={tempo}
            min={25}
            max={200}
            unit="% of the written tempo"
            onValue={(percent) => set({ tempo: percent })}
          />
        )}
      </fieldset>
    </section>
  );
}

function ClimbField(props: {
  label: string;
  of: keyof Drill["climb"];
  min: number;
  max: number;
  unit: string;
}) {
  const { of, ...field } = props;
  const { climb } = drill.value;
  return (
    <NumberField
      {...field}
      value={climb[of]}
      onValue={(value) => set({ climb: { ...climb, [of]: value } })}
    />
  );
}
