/** All values of a placement. */
import { MOST_PLAYERS, type PatternPlacement, type Placement } from "../../schemas/routine.ts";
import { ChoiceField, NumberField, TextField, TickField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { hoursText, readFraction } from "../parts/music.ts";
import { shown } from "../state/shown.ts";
import { inTurn } from "../state/turn.ts";
import { openedAhead } from "./ahead.ts";
import { changedTo } from "./changes.ts";
import { type Address, keyOfAddress, type Lying, lyingIn } from "./lying.ts";
import { nameOf, settle } from "./settle.ts";
import { type Keep, LastsField } from "./LastsField.tsx";

type Key = keyof PatternPlacement | "words";

/** With a field set, or taken out where the value is undefined. */
function withField(placement: Placement, key: Key, value: unknown): Placement {
  const { [key as keyof Placement]: _, ...rest } = placement;
  return (value === undefined ? rest : { ...rest, [key]: value }) as Placement;
}

/** What stands there is asked for when it is its turn: the field before may just have changed it. */
function keepAt(address: Address, how: (placement: Placement) => Placement): void {
  inTurn(() => {
    const state = openedAhead.value;
    const one = state === null ? undefined : lyingIn(state).get(keyOfAddress(address));
    if (state === null || one === undefined) return;
    settle([changedTo(one, how(one.placement))], `Change ${nameOf(state, one)}`);
  });
}

const BAR_PART = "Write a part of a whole note, from 0 to less than a bar, as 1/8 or 3/16.";

export function PlacementForm({ one }: { one: Lying }) {
  const state = shown.value;
  if (state === null) return null;
  const { placement } = one;
  const keep = (how: (placement: Placement) => Placement): void => keepAt(one, how);
  const set = (key: Key, value: unknown): void => keep((now) => withField(now, key, value));
  const meter = readFraction(state.routine.sections.find(({ id }) => id === one.section)?.meter ?? "1/1");
  return (
    <div class="line form">
      {"words" in placement ? (
        <TextField
          label="Words"
          shown={<Help term="words">Words</Help>}
          value={placement.words}
          read={(text) => (text === "" ? null : text.slice(0, 200))}
          takes="Write what the hands are to do, or remove it."
          onValue={(words) => set("words", words)}
        />
      ) : (
        <ChoiceField
          label="Phrase"
          value={placement.pattern}
          options={state.routine.patterns.map(({ id, name }) => [id, name ?? id] as const)}
          onValue={(pattern) => set("pattern", pattern)}
        />
      )}
      <NumberField
        label="Bar"
        value={placement.bar}
        min={-1_000_000}
        max={1_000_000}
        onValue={(bar) => set("bar", bar)}
      />
      <TextField
        label="At, part of a whole note"
        class="number"
        value={placement.at ?? "0"}
        read={(text) => {
          const at = readFraction(text);
          return at === null || meter === null || at.n * meter.d >= meter.n * at.d ? null : text;
        }}
        takes={BAR_PART}
        onValue={(at) => set("at", readFraction(at)?.n === 0n ? undefined : at)}
      />
      <LastsField one={one} keep={keep} />
      <NumberField
        label="Player"
        shown={<Help term="player">Player</Help>}
        value={placement.player ?? 1}
        min={1}
        max={MOST_PLAYERS}
        onValue={(player) => set("player", player === 1 ? undefined : player)}
      />
      {!("words" in placement) && <HandFields {...{ one, placement, keep, set }} />}
    </div>
  );
}

/** A number of degrees, or the name of a cue. */
function readPlace(text: string, cues: readonly string[]): number | string | null {
  if (text === "") return 0;
  if (cues.includes(text)) return text;
  const degrees = Number(text);
  return Number.isFinite(degrees) && Math.abs(degrees) <= 1_000_000 ? degrees : null;
}

function HandFields(props: {
  one: Lying;
  placement: PatternPlacement;
  keep: Keep;
  set: (key: Key, value: unknown) => void;
}) {
  const { one, placement, keep, set } = props;
  const samples = shown.value?.routine.rig?.samples ?? [];
  const played = placement.sample ?? samples[0]?.id ?? "";
  const cues = (samples.find(({ id }) => id === played)?.cues ?? []).map(({ id }) => id);
  const { pattern } = one;
  const from = (key: "recordFrom" | "faderFrom", label: string, count: number) => (
    <NumberField
      label={label}
      value={(placement[key] ?? 0) + 1}
      min={1}
      max={Math.max(1, count)}
      onValue={(number) => set(key, number === 1 ? undefined : number - 1)}
    />
  );
  return (
    <>
      {from("recordFrom", "Record starts at stroke", pattern?.record.strokes.length ?? 256)}
      {from("faderFrom", "Fader starts at cell", pattern?.fader.cells.length ?? 256)}
      {samples.length > 0 && (
        <ChoiceField
          label="Sample"
          value={played}
          options={samples.map(({ id, name }) => [id, name ?? id] as const)}
          onValue={(id) => set("sample", id === samples[0]?.id ? undefined : id)}
        />
      )}
      {placement.carriesOn !== true && (
        <>
          <TextField
            label="Record at, degrees or cue"
            class="number"
            value={String(placement.recordAt ?? 0)}
            read={(text) => readPlace(text, cues)}
            takes={`Write degrees of the platter, 30 an hour${cues.length === 0 ? "" : `, or a cue: ${cues.join(", ")}`}.`}
            offers={cues}
            onValue={(at) => set("recordAt", at === 0 ? undefined : at)}
          />
          {typeof placement.recordAt === "number" && (
            <span class="quiet">{hoursText(placement.recordAt)}</span>
          )}
        </>
      )}
      <TickField
        label="carries on where the one before left the record"
        value={placement.carriesOn ?? false}
        onValue={(on) =>
          keep((now) => {
            const { recordAt: _, carriesOn: _c, ...plain } = now as PatternPlacement;
            return on ? { ...plain, carriesOn: true } : plain;
          })
        }
      />
      <ChoiceField
        label="Arrives by"
        shown={<Help term="cue">Arrives by</Help>}
        value={placement.arrives ?? "hand"}
        options={[
          ["hand", "hand"],
          ["cue", "cue button"],
        ]}
        onValue={(how) => set("arrives", how === "hand" ? undefined : how)}
      />
    </>
  );
}
