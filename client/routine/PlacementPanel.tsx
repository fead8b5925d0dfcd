/** Everything about the chosen placement, above the foot: what is worked out, and all its values. */
import { signal } from "@preact/signals";
import type { Lasts, PatternPlacement, Placement } from "../../schemas/routine.ts";
import { Help } from "../parts/Help.tsx";
import { counted } from "../parts/music.ts";
import { goTo } from "../state/place.ts";
import { change, shown } from "../state/store.ts";
import { chosen, chosenPlacement, placementEdit } from "./chosen.ts";
import { remove } from "./gesture.ts";
import { untilNext } from "./moving.ts";

/** All values are shown, not only what is worked out: the panel stays low, so that it hides few rows. */
const allValues = signal(false);

/** With a field set, or taken out where the value is undefined. */
export function withField<Key extends string>(placement: Placement, key: Key, value: unknown): Placement {
  const { [key as keyof Placement]: _, ...rest } = placement as Placement & Record<string, unknown>;
  return (value === undefined ? rest : { ...rest, [key]: value }) as Placement;
}

export function PlacementPanel() {
  const one = chosenPlacement.value;
  const state = shown.value;
  if (one === null || state === null) return null;
  const { placement } = one;
  const facts = state.sectionFacts.get(one.section)?.placements.find((f) => f.placement === one.index);
  const set = (key: string, value: unknown): void =>
    change(placementEdit(one, withField(placement, key, value)), "Change the placement");
  const lasts = placement.lasts;
  const kind = lasts === undefined ? "" : (Object.keys(lasts)[0] as "bars" | "cycles" | "steps");
  const count = lasts === undefined ? 1 : (Object.values(lasts)[0] as number);
  const setLasts = (to: Lasts | undefined): void =>
    change(
      placementEdit(
        one,
        to === undefined ? untilNext(placement) : ({ ...placement, lasts: to } as Placement),
      ),
      "Change the length",
    );
  const samples = state.routine.rig?.samples ?? [];
  const pattern = "words" in placement ? null : (placement as PatternPlacement);
  const text = (value: string): string | undefined => (value.trim() === "" ? undefined : value.trim());
  const number = (value: string): number | undefined =>
    value === "" || Number(value) === 0 ? undefined : Number(value);
  const cues = samples.find(({ id }) => id === (pattern?.sample ?? samples[0]?.id))?.cues ?? [];
  return (
    <aside class="panel" aria-label="The chosen placement">
      <div class="line">
        <strong>{pattern === null ? "Words" : (one.pattern?.name ?? pattern.pattern)}</strong>
        {facts !== undefined && (
          <span class="quiet">
            <Help term="come-round">comes round</Help> after {counted(facts.comeRoundBars, "bar")},{" "}
            {counted(facts.comeRoundRepeats, "repeat")}; <Help term="landing">landing</Help>:{" "}
            {facts.landing.steps === "0" ? "it lands" : `${facts.landing.steps} steps over`}
            {facts.names.length > 0 && `; ${facts.names.join(", ")}`}
            {facts.hands
              .filter(({ within }) => !within)
              .map((figure) => `; ${figure.limit} beyond your limit`)
              .join("")}
          </span>
        )}
        {pattern !== null && (
          <button type="button" class="plain" onClick={() => goTo("write", pattern.pattern)}>
            Write this phrase
          </button>
        )}
        <button
          type="button"
          class="plain"
          aria-expanded={allValues.value}
          onClick={() => {
            allValues.value = !allValues.value;
          }}
        >
          All values
        </button>
        <button
          type="button"
          class="plain"
          onClick={() => {
            remove(one);
            chosen.value = null;
          }}
        >
          Remove
        </button>
        <button
          type="button"
          class="plain"
          onClick={() => {
            chosen.value = null;
          }}
        >
          Close
        </button>
      </div>
      {allValues.value && (
        <div class="line">
          {pattern === null ? (
            <label class="field">
              <span>Words</span>
              <input
                value={"words" in placement ? placement.words : ""}
                onChange={(e) => set("words", e.currentTarget.value)}
              />
            </label>
          ) : (
            <label class="field">
              <span>Phrase</span>
              <select value={pattern.pattern} onChange={(e) => set("pattern", e.currentTarget.value)}>
                {state.routine.patterns.map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name ?? id}
                  </option>
                ))}
              </select>
            </label>
          )}
          <label class="field">
            <span>Bar</span>
            <input
              class="number"
              type="number"
              value={placement.bar}
              onChange={(e) => set("bar", Number(e.currentTarget.value))}
            />
          </label>
          <label class="field">
            <span>At, part of a whole note</span>
            <input
              class="number"
              value={placement.at ?? "0"}
              onChange={(e) =>
                set("at", e.currentTarget.value.trim() === "0" ? undefined : text(e.currentTarget.value))
              }
            />
          </label>
          <label class="field">
            <span>Lasts</span>
            <select
              value={kind}
              onChange={(e) =>
                setLasts(
                  e.currentTarget.value === ""
                    ? undefined
                    : ({ [e.currentTarget.value]: count } as unknown as Lasts),
                )
              }
            >
              <option value="">until the next one</option>
              <option value="bars">bars</option>
              {pattern !== null && <option value="cycles">combined cycles</option>}
              {pattern !== null && <option value="steps">steps</option>}
            </select>
            {kind !== "" && (
              <input
                class="number"
                type="number"
                min={1}
                aria-label={`How many ${kind}`}
                value={count}
                onChange={(e) => setLasts({ [kind]: Number(e.currentTarget.value) } as unknown as Lasts)}
              />
            )}
          </label>
          <label class="field">
            <span>Player</span>
            <input
              class="number"
              type="number"
              min={1}
              max={8}
              value={placement.player ?? 1}
              onChange={(e) =>
                set("player", e.currentTarget.value === "1" ? undefined : Number(e.currentTarget.value))
              }
            />
          </label>
          {pattern !== null && (
            <>
              <label class="field">
                <span>Record starts at stroke</span>
                <input
                  class="number"
                  type="number"
                  min={1}
                  value={(pattern.recordFrom ?? 0) + 1}
                  onChange={(e) => set("recordFrom", number(String(Number(e.currentTarget.value) - 1)))}
                />
              </label>
              <label class="field">
                <span>Fader starts at cell</span>
                <input
                  class="number"
                  type="number"
                  min={1}
                  value={(pattern.faderFrom ?? 0) + 1}
                  onChange={(e) => set("faderFrom", number(String(Number(e.currentTarget.value) - 1)))}
                />
              </label>
              {samples.length > 0 && (
                <label class="field">
                  <span>Sample</span>
                  <select
                    value={pattern.sample ?? samples[0]!.id}
                    onChange={(e) =>
                      set(
                        "sample",
                        e.currentTarget.value === samples[0]!.id ? undefined : e.currentTarget.value,
                      )
                    }
                  >
                    {samples.map(({ id, name }) => (
                      <option key={id} value={id}>
                        {name ?? id}
                      </option>
                    ))}
                  </select>
                </label>
              )}
              <label class="field">
                <span>Record at, degrees or cue</span>
                <input
                  class="number"
                  list="cues"
                  value={pattern.recordAt ?? 0}
                  onChange={(e) => {
                    const value = e.currentTarget.value.trim();
                    set(
                      "recordAt",
                      value === "" || value === "0"
                        ? undefined
                        : Number.isNaN(Number(value))
                          ? value
                          : Number(value),
                    );
                  }}
                />
                <datalist id="cues">
                  {cues.map(({ id }) => (
                    <option key={id} value={id} />
                  ))}
                </datalist>
              </label>
              <label class="field">
                <input
                  type="checkbox"
                  checked={pattern.carriesOn ?? false}
                  onChange={(e) => set("carriesOn", e.currentTarget.checked || undefined)}
                />
                <span>carries on where the one before left the record</span>
              </label>
              <label class="field">
                <span>Arrives by</span>
                <select
                  value={pattern.arrives ?? "hand"}
                  onChange={(e) =>
                    set("arrives", e.currentTarget.value === "hand" ? undefined : e.currentTarget.value)
                  }
                >
                  <option value="hand">hand</option>
                  <option value="cue">cue button</option>
                </select>
              </label>
            </>
          )}
        </div>
      )}
    </aside>
  );
}
