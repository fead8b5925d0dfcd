/** What is looked for: how long the cycles are and of what, what the phrase must be, and in which order. */
import { FindableName, LONGEST_FADER, LONGEST_RECORD, OnsetMix } from "../../schemas/find.ts";
import { FaderState, Move } from "../../schemas/routine.ts";
import { ChoiceField, TextField, TickField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { stepName, STEPS } from "../parts/music.ts";
import { noteNames } from "../state/settings.ts";
import { wish } from "./search.ts";
import { FIRST_WISH, type Onset, type Standing, type Wish } from "./wish.ts";
import { Bound, BoundsField, Cycle } from "./CycleFields.tsx";

const set = (what: Partial<Wish>): void => {
  wish.value = { ...wish.value, ...what };
};
const LONGEST = LONGEST_RECORD * LONGEST_FADER;

const ONSETS: Readonly<Record<Onset, string>> = {
  cut: "opened by the fader, %",
  turn: "at a turn of the record, %",
  restart: "a stroke on from another, %",
  "from-rest": "from a held record, %",
};

/** What explains an order. */
const TERM_OF = {
  difficulty: "difficulty",
  evenness: "pull",
  syncopation: "pull",
  distance: "distance",
} as const;

/** The cycles and the order stay. */
export const askForNoMore = (): void => set({ ...FIRST_WISH, ...cyclesOf(wish.value) });

export function FindForm() {
  const now = wish.value;
  return (
    <form class="find-form" aria-label="What is looked for" onSubmit={(event) => event.preventDefault()}>
      <div class="line">
        <Cycle
          name="Record cycle"
          lengths={now.record}
          longest={LONGEST_RECORD}
          kinds={Move.options}
          chosen={now.strokes}
          onLengths={(record) => set({ record })}
          onKinds={(strokes) => set({ strokes })}
        />
        <Cycle
          name="Fader cycle"
          lengths={now.fader}
          longest={LONGEST_FADER}
          kinds={FaderState.options}
          chosen={now.cells}
          onLengths={(fader) => set({ fader })}
          onKinds={(cells) => set({ cells })}
        />
      </div>
      <details>
        <summary>What the phrase must be</summary>
        <div class="line">
          <BoundsField
            name="Combined length, steps"
            bounds={now.combined}
            most={LONGEST}
            onBounds={(combined) => set({ combined })}
          />
          <BoundsField
            name="Sounds in it"
            bounds={now.sounds}
            most={LONGEST}
            onBounds={(sounds) => set({ sounds })}
          />
          <Bound
            label="Comes round within, bars"
            value={now.withinBars}
            most={10_000}
            onValue={(bars) => set({ withinBars: bars === 0 ? undefined : bars })}
          />
          <TextField
            label="My hands can do it at, quarters a minute"
            class="number"
            value={now.playableAt === undefined ? "" : `${now.playableAt}`}
            takes="A tempo from 20 to 400, or nothing."
            read={(text) => {
              if (text === "") return { tempo: undefined };
              const tempo = Number(text);
              return tempo >= 20 && tempo <= 400 ? { tempo } : null;
            }}
            onValue={({ tempo }) => set({ playableAt: tempo })}
          />
        </div>
        <div class="line">
          <ChoiceField
            label="Mirrored"
            value={now.mirrored}
            options={[
              ["any", "or not"],
              ["yes", "yes"],
              ["no", "no"],
            ]}
            onValue={(mirrored) => set({ mirrored: mirrored as Wish["mirrored"] })}
          />
          <ChoiceField
            label="Drift"
            value={now.drift}
            options={[
              ["any", "any"],
              ["zero", "none"],
              ["closable", "none once travels are scaled"],
            ]}
            onValue={(drift) => set({ drift: drift as Wish["drift"] })}
          />
          {FindableName.options.map((name) => (
            <ChoiceField
              key={name}
              label={`A ${name}`}
              value={now.scratches[name]}
              options={[
                ["may", "may stand in it"],
                ["must", "must stand in it"],
                ["must not", "must not stand in it"],
              ]}
              onValue={(standing) => set({ scratches: { ...now.scratches, [name]: standing as Standing } })}
            />
          ))}
        </div>
        <p class="quiet">Of its sounds, so many percent are</p>
        <div class="line">
          {(Object.keys(OnsetMix.shape) as Onset[]).map((onset) => (
            <BoundsField
              key={onset}
              name={ONSETS[onset]}
              bounds={now.onsets[onset]}
              most={100}
              onBounds={(bounds) => set({ onsets: { ...now.onsets, [onset]: bounds } })}
            />
          ))}
        </div>
        <button type="button" onClick={askForNoMore}>
          Ask for nothing more
        </button>
      </details>
      <div class="line">
        <ChoiceField
          label="Step"
          value={now.step}
          options={[...new Set([now.step, ...STEPS])].map((step) => [
            step,
            `${step} ${stepName(step, noteNames.value)}`,
          ])}
          onValue={(step) => set({ step })}
        />
        <ChoiceField
          label="In order of"
          shown={
            now.by === "listing" ? undefined : (
              <Help key={now.by} term={TERM_OF[now.by]}>
                In order of
              </Help>
            )
          }
          value={now.by}
          options={[
            ["difficulty", "difficulty"],
            ["evenness", "evenness"],
            ["syncopation", "syncopation against the bar"],
            ["distance", "distance from my phrases"],
            ["listing", "the listing"],
          ]}
          onValue={(by) => set({ by: by as Wish["by"], first: by === "difficulty" ? "least" : "most" })}
        />
        {now.by !== "listing" && (
          <ChoiceField
            label="First"
            value={now.first}
            options={[
              ["least", "the least"],
              ["most", "the most"],
            ]}
            onValue={(first) => set({ first: first as Wish["first"] })}
          />
        )}
        <TickField
          label="Close the drift by scaling travels"
          value={now.close}
          onValue={(close) => set({ close })}
        />
      </div>
    </form>
  );
}

const cyclesOf = ({ record, fader, strokes, cells, step, by, first, close }: Wish): Partial<Wish> => ({
  record,
  fader,
  strokes,
  cells,
  step,
  by,
  first,
  close,
});
