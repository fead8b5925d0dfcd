/** Everything that a section is, to be changed. */
import type { SetSection } from "../../schemas/edit.ts";
import type { Section } from "../../schemas/routine.ts";
import { ChoiceField, NumberField, TextField, TickField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { IdField } from "../parts/IdField.tsx";
import { semitonesText, stepName, STEPS } from "../parts/music.ts";
import { addressOf, BUILT_IN } from "../state/place.ts";
import { noteNames } from "../state/settings.ts";
import { change } from "../state/change.ts";
import { shown } from "../state/shown.ts";
import { withRoutine } from "../state/turn.ts";
import { giveSectionId, removeSection, repeatSection, shiftSection } from "./sections.ts";

export const tempoText = (tempo: Section["tempo"]): string =>
  typeof tempo === "number" ? `${tempo}` : `${tempo.from} to ${tempo.to}`;

/** "92", or "92 to 97"; null for anything else. */
function readTempo(text: string): Section["tempo"] | null {
  const match = /^\s*(\d+(?:\.\d+)?)(?:\s*(?:to|→|-|–)\s*(\d+(?:\.\d+)?))?\s*$/.exec(text);
  if (match === null) return null;
  const from = Number(match[1]);
  const to = match[2] === undefined ? from : Number(match[2]);
  if (Math.min(from, to) < 20 || Math.max(from, to) > 400) return null;
  return from === to ? from : { from, to };
}

/** "7/8": upper number 1 to 64, lower a power of two to 32. */
function readMeter(text: string): string | null {
  const match = /^(\d+)\s*\/\s*(1|2|4|8|16|32)$/.exec(text);
  const upper = Number(match?.[1]);
  return match === null || upper < 1 || upper > 64 ? null : `${upper}/${match[2]}`;
}

/** "2, 4-6": bars of the section, ascending; null for anything else. */
function readBars(text: string, bars: number): number[] | null {
  const found = new Set<number>();
  for (const part of text.split(/[\s,]+/).filter((one) => one !== "")) {
    const match = /^(\d+)(?:[-–](\d+))?$/.exec(part);
    const from = Number(match?.[1]);
    const to = Number(match?.[2] ?? match?.[1]);
    if (match === null || from < 1 || to > bars || from > to) return null;
    for (let bar = from; bar <= to; bar++) found.add(bar);
  }
  return [...found].sort((a, b) => a - b);
}

export function SectionForm(props: { section: Section; index: number }) {
  const { section, index } = props;
  const state = shown.value;
  if (state === null) return null;
  const { sections, beats } = state.routine;
  const name = section.name ?? section.id;
  const set = (what: SetSection, words: string): void =>
    change({ kind: "change-section", id: section.id, set: what }, `${words} of ${name}`);
  const before = sections[index - 1];
  return (
    <div class="line form" role="group" aria-label={`Change ${name}`}>
      <TextField
        label="Name"
        value={section.name ?? ""}
        read={(text) => text.slice(0, 200)}
        takes=""
        onValue={(text) => set({ name: text === "" ? null : text }, "Change the name")}
      />
      <NumberField
        label="Bars"
        value={section.bars}
        min={1}
        max={999}
        onValue={(bars) => set({ bars }, "Change the bars")}
      />
      <TextField
        label="Metre"
        shown={<Help term="metre">Metre</Help>}
        class="number"
        value={section.meter}
        read={readMeter}
        takes="Write a metre as 4/4 or 7/8: 1 to 64 over 1, 2, 4, 8, 16 or 32."
        onValue={(meter) => set({ meter }, "Change the metre")}
      />
      <TextField
        label="Tempo"
        shown={<Help term="tempo">Tempo</Help>}
        class="number tempo"
        value={tempoText(section.tempo)}
        read={readTempo}
        takes="Write a tempo as 92, or a ramp as 92 to 97: 20 to 400 quarters a minute."
        onValue={(tempo) => set({ tempo }, "Change the tempo")}
      />
      <ChoiceField
        label="Beat"
        value={section.beat ?? ""}
        options={[["", "none"], ...beats.map(({ id, name }) => [id, name ?? id] as const)]}
        onValue={(beat) => set({ beat: beat === "" ? null : beat }, "Change the beat")}
      />
      <a href={addressOf("write", BUILT_IN)}>Built-in beats</a>
      {/* Also where it cannot be: so that it can be taken out. */}
      {(section.beatContinues === true || (section.beat !== undefined && before?.beat === section.beat)) && (
        <TickField
          label="the beat goes on from before"
          value={section.beatContinues ?? false}
          onValue={(on) => set({ beatContinues: on || null }, "Change how the beat starts")}
        />
      )}
      {(section.beat !== undefined || section.beatRests !== undefined) && (
        <TextField
          label="Beat rests in bars"
          shown={<Help term="beat rests">Beat rests in bars</Help>}
          class="number tempo"
          value={(section.beatRests ?? []).join(", ")}
          read={(text) => readBars(text, section.bars)}
          takes={`Write bars of this section as 4, or 2, 6-8; up to ${section.bars}.`}
          onValue={(bars) => set({ beatRests: bars.length === 0 ? null : bars }, "Change the rests")}
        />
      )}
      <SwingFields section={section} set={set} />
      <NumberField
        label="Pitch slider, %"
        shown={<Help term="pitch slider">Pitch slider, %</Help>}
        unit={section.pitch === undefined ? "" : semitonesText(1 + section.pitch / 100)}
        value={section.pitch ?? 0}
        min={-50}
        max={50}
        step="any"
        onValue={(pitch) => set({ pitch: pitch === 0 ? null : pitch }, "Change the pitch")}
      />
      <IdField id={section.id} others={sections} onId={(to) => giveSectionId(section, to)} />
      <button type="button" disabled={before === undefined} onClick={() => shiftSection(section, -1)}>
        Move up
      </button>
      <button type="button" disabled={index === sections.length - 1} onClick={() => shiftSection(section, 1)}>
        Move down
      </button>
      <button type="button" onClick={() => repeatSection(section)}>
        Repeat the section
      </button>
      <button type="button" disabled={sections.length === 1} onClick={() => removeSection(section)}>
        Remove the section
      </button>
      <p class="quiet">
        What starts before bar 1 is a <Help term="pickup">pickup</Help>: move a phrase to the left of bar 1.
        Before the first section it makes a lead-in of whole bars.
      </p>
    </div>
  );
}

function SwingFields(props: { section: Section; set: (what: SetSection, words: string) => void }) {
  const { section, set } = props;
  const { swing } = section;
  const put = (what: Partial<NonNullable<Section["swing"]>>): void =>
    withRoutine(({ sections }) => {
      const now = sections.find(({ id }) => id === section.id)?.swing;
      const { of = "1/16", beat = 50, hands = 50 } = now ?? {};
      set({ swing: { of, beat, hands, ...what } }, "Change the swing");
    });
  const steps = [...new Set([...(swing === undefined ? [] : [swing.of]), ...STEPS])];
  return (
    <>
      <ChoiceField
        label="Swing of the"
        shown={<Help term="swing">Swing of the</Help>}
        value={swing?.of ?? ""}
        options={[
          ["", "(no swing)"],
          ...steps.map((step) => [step, stepName(step, noteNames.value)] as const),
        ]}
        onValue={(of) => (of === "" ? set({ swing: null }, "Take out the swing") : put({ of }))}
      />
      {swing !== undefined &&
        (["beat", "hands"] as const).map((which) => (
          <NumberField
            key={which}
            label={`Swing of the ${which}, %`}
            value={swing[which] ?? 50}
            min={50}
            max={75}
            step="any"
            onValue={(percent) => put({ [which]: percent })}
          />
        ))}
    </>
  );
}
