/** What a section is, in one line; and the form that changes it. */
import { useState } from "preact/hooks";
import type { SetSection } from "../../schemas/edit.ts";
import type { Section } from "../../schemas/routine.ts";
import { setLoop } from "../audio/transport.ts";
import { clockText, counted, stepName, STEPS, barUnits } from "../parts/music.ts";
import { noteNames } from "../state/settings.ts";
import { change, shown } from "../state/store.ts";
import { chosen } from "./chosen.ts";

export const tempoText = (tempo: Section["tempo"]): string =>
  typeof tempo === "number" ? `${tempo}` : `${tempo.from} → ${tempo.to}`;

/** "92", or "92 to 97"; null for anything else. */
export function readTempo(text: string): Section["tempo"] | null {
  const match = /^\s*(\d+(?:\.\d+)?)(?:\s*(?:to|→|-|–)\s*(\d+(?:\.\d+)?))?\s*$/.exec(text);
  if (match === null) return null;
  const from = Number(match[1]);
  const to = match[2] === undefined ? from : Number(match[2]);
  return from === to ? from : { from, to };
}

export function SectionHead(props: { section: Section; index: number }) {
  const { section, index } = props;
  const [open, setOpen] = useState(false);
  const state = shown.value;
  const timed = state?.performance.sections[index];
  if (state === null) return null;
  const name = section.name ?? section.id;
  const beat = state.routine.beats.find(({ id }) => id === section.beat);
  const sections = state.routine.sections;
  const set = (what: SetSection, words: string): void =>
    change({ kind: "change-section", id: section.id, set: what }, `${words} of ${name}`);
  return (
    <>
      <div class="line section-head">
        <h2>{name}</h2>
        <span class="quiet">
          {timed !== undefined && `${clockText(timed.startSeconds)} · `}
          {counted(section.bars, "bar")} of {section.meter} at {tempoText(section.tempo)}
          {beat === undefined ? ", no beat" : `, beat ${beat.name ?? beat.id}`}
        </span>
        <button type="button" class="plain" onClick={() => setLoop({ kind: "section", section: section.id })}>
          Loop
        </button>
        {index > 0 && (
          <button type="button" class="plain" onClick={() => setLoop({ kind: "join", section: section.id })}>
            Loop the join before
          </button>
        )}
        <button type="button" class="plain" aria-expanded={open} onClick={() => setOpen(!open)}>
          Change
        </button>
        <AddPlacement section={section} />
      </div>
      {open && (
        <div class="line form" role="group" aria-label={`Change ${name}`}>
          <label class="field">
            <span>Name</span>
            <input
              value={section.name ?? ""}
              onChange={(e) => set({ name: e.currentTarget.value || null }, "Change the name")}
            />
          </label>
          <label class="field">
            <span>Bars</span>
            <input
              class="number"
              type="number"
              min={1}
              max={999}
              value={section.bars}
              onChange={(e) => set({ bars: Number(e.currentTarget.value) }, "Change the bars")}
            />
          </label>
          <label class="field">
            <span>Metre</span>
            <input
              class="number"
              value={section.meter}
              onChange={(e) => set({ meter: e.currentTarget.value.trim() }, "Change the metre")}
            />
          </label>
          <label class="field">
            <span>Tempo</span>
            <input
              class="number tempo"
              value={
                typeof section.tempo === "number"
                  ? section.tempo
                  : `${section.tempo.from} to ${section.tempo.to}`
              }
              onChange={(e) => {
                const tempo = readTempo(e.currentTarget.value);
                if (tempo === null)
                  e.currentTarget.setCustomValidity("Write a tempo as 92, or a ramp as 92 to 97.");
                else {
                  e.currentTarget.setCustomValidity("");
                  set({ tempo }, "Change the tempo");
                }
                e.currentTarget.reportValidity();
              }}
            />
          </label>
          <label class="field">
            <span>Beat</span>
            <select
              value={section.beat ?? ""}
              onChange={(e) => set({ beat: e.currentTarget.value || null }, "Change the beat")}
            >
              <option value="">none</option>
              {state.routine.beats.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name ?? id}
                </option>
              ))}
            </select>
          </label>
          <label class="field">
            <input
              type="checkbox"
              checked={section.beatContinues ?? false}
              onChange={(e) => set({ beatContinues: e.currentTarget.checked || null }, "Change the beat")}
            />
            <span>beat goes on from before</span>
          </label>
          <label class="field">
            <span>Beat rests in bars</span>
            <input
              class="number"
              value={(section.beatRests ?? []).join(", ")}
              onChange={(e) => {
                const bars = e.currentTarget.value
                  .split(/[\s,]+/)
                  .map(Number)
                  .filter((n) => Number.isInteger(n) && n > 0);
                set({ beatRests: bars.length === 0 ? null : bars }, "Change the rests");
              }}
            />
          </label>
          <SwingFields section={section} set={set} />
          <label class="field">
            <span>Pitch slider, %</span>
            <input
              class="number"
              type="number"
              step="any"
              min={-50}
              max={50}
              value={section.pitch ?? 0}
              onChange={(e) => set({ pitch: Number(e.currentTarget.value) || null }, "Change the pitch")}
            />
          </label>
          <button
            type="button"
            disabled={index === 0}
            onClick={() =>
              change(
                { kind: "move-section", id: section.id, before: sections[index - 1]!.id },
                `Move ${name} up`,
              )
            }
          >
            Move up
          </button>
          <button
            type="button"
            disabled={index === sections.length - 1}
            onClick={() =>
              change(
                { kind: "move-section", id: section.id, before: sections[index + 2]?.id ?? null },
                `Move ${name} down`,
              )
            }
          >
            Move down
          </button>
          <button
            type="button"
            disabled={sections.length === 1}
            onClick={() => change({ kind: "remove-section", id: section.id }, `Remove ${name}`)}
          >
            Remove the section
          </button>
        </div>
      )}
    </>
  );
}

function SwingFields(props: { section: Section; set: (what: SetSection, words: string) => void }) {
  const { section, set } = props;
  const swing = section.swing;
  const put = (what: Partial<NonNullable<Section["swing"]>>): void =>
    set(
      { swing: { of: swing?.of ?? "1/16", beat: swing?.beat ?? 50, hands: swing?.hands ?? 50, ...what } },
      "Change the swing",
    );
  return (
    <>
      <label class="field">
        <span>Swing of the</span>
        <select
          value={swing?.of ?? ""}
          onChange={(e) =>
            e.currentTarget.value === ""
              ? set({ swing: null }, "Take out the swing")
              : put({ of: e.currentTarget.value })
          }
        >
          <option value="">(no swing)</option>
          {[...new Set([...(swing === undefined ? [] : [swing.of]), ...STEPS])].map((step) => (
            <option key={step} value={step}>
              {stepName(step, noteNames.value)}
            </option>
          ))}
        </select>
      </label>
      {swing !== undefined &&
        (["beat", "hands"] as const).map((which) => (
          <label key={which} class="field">
            <span>{which}, %</span>
            <input
              class="number"
              type="number"
              step="any"
              min={50}
              max={75}
              value={swing[which] ?? 50}
              onChange={(e) => put({ [which]: Number(e.currentTarget.value) })}
            />
          </label>
        ))}
    </>
  );
}

/** Puts a phrase, or words, after what stands last in the section, or in its first bar. */
function AddPlacement(props: { section: Section }) {
  const { section } = props;
  const state = shown.value;
  if (state === null) return null;
  const add = (value: string): void => {
    const bar = barUnits(section.meter);
    const end =
      state.performances.get(section.id)?.placed.reduce((most, { end }) => Math.max(most, end), 0) ?? 0;
    const whole = Math.min(section.bars, Math.ceil(end / bar) + 1);
    const placement =
      value === "·words"
        ? { words: "Step back", bar: whole, lasts: { bars: 1 } }
        : { pattern: value, bar: whole, lasts: { cycles: 1 } };
    change(
      { kind: "add-placements", section: section.id, placements: [placement] },
      `Add to ${section.name ?? section.id}`,
    );
    chosen.value = { section: section.id, index: section.placements.length };
  };
  return (
    <select
      aria-label={`Add to ${section.name ?? section.id}`}
      value=""
      onChange={(event) => {
        if (event.currentTarget.value !== "") add(event.currentTarget.value);
        event.currentTarget.value = "";
      }}
    >
      <option value="">Add…</option>
      {state.routine.patterns.map(({ id, name }) => (
        <option key={id} value={id}>
          {name ?? id}
        </option>
      ))}
      <option value="·words">words for the hands</option>
    </select>
  );
}
