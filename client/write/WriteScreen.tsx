/** One phrase by itself: both hands edited on the rows and as plain words, and all that is worked out about it. */
import { useEffect, useRef } from "preact/hooks";
import type { Cell, FaderState, Move, Pattern, Stroke } from "../../schemas/routine.ts";
import { ALONE } from "../audio/follow.ts";
import { material } from "../audio/transport.ts";
import { Help, type Term } from "../parts/Help.tsx";
import {
  add,
  asLength,
  counted,
  fraction,
  hoursText,
  readFraction,
  stepName,
  STEPS,
} from "../parts/music.ts";
import { useWidth } from "../parts/width.ts";
import { Legend } from "../rows/Legend.tsx";
import { GUTTER } from "../rows/metrics.ts";
import { SectionRows } from "../rows/SectionRows.tsx";
import { lengthsOf } from "../routine/moving.ts";
import { type Action, useActions } from "../state/actions.ts";
import { goTo, place } from "../state/place.ts";
import { noteNames } from "../state/settings.ts";
import { change, draft, noDraft, opened, shown } from "../state/store.ts";
import { BeatEditor, NewBeat } from "./BeatEditor.tsx";
import { Bench } from "./Bench.tsx";
import { inHand, keep, patternInHand, trying } from "./inHand.ts";
import { cellsText, readCells, readStrokes, strokesText } from "./entry.ts";
import {
  ALONE_ID,
  aloneEdit,
  aloneRoutine,
  asFader,
  asMove,
  changed,
  comeRoundBars,
  type Hand,
  homeOf,
  itemsOf,
  MOST_BARS,
  withItems,
} from "./phrase.ts";
import { PositionChart } from "./PositionChart.tsx";

/** Changes the item in hand. */
function edit(
  change: (items: readonly (Stroke | Cell)[], index: number) => readonly (Stroke | Cell)[],
  words: string,
): void {
  const pattern = patternInHand();
  if (pattern === null) return;
  const { hand } = inHand.value;
  const items = itemsOf(pattern, hand);
  const index = Math.min(inHand.value.index, items.length - 1);
  const after = change(items, index);
  if (after.length === 0) return;
  keep(withItems(pattern, hand, after), words);
}

const kind = (name: Move | FaderState) => (): void => {
  const hand: Hand = name === "forward" || name === "back" || name === "hold" ? "record" : "fader";
  inHand.value = { hand, index: inHand.value.hand === hand ? inHand.value.index : 0 };
  edit(
    (items, index) =>
      items.map((item, at) =>
        at !== index
          ? item
          : hand === "record"
            ? asMove(item as Stroke, name as Move)
            : asFader(item as Cell, name as FaderState),
      ),
    `Make it ${name}`,
  );
};
const step = (by: number) => (): void => {
  const pattern = patternInHand();
  if (pattern === null) return;
  const { hand, index } = inHand.value;
  const count = itemsOf(pattern, hand).length;
  inHand.value = { hand, index: (Math.min(index, count - 1) + by + count) % count };
};
const longer = (by: 1 | -1) => (): void =>
  edit(
    (items, index) => {
      const now = readFraction(items[index]!.length ?? 1)!;
      const next =
        by === 1
          ? add(now, fraction(1))
          : now.n > now.d
            ? fraction(now.n - now.d, now.d)
            : fraction(now.n, now.d * 2n);
      return changed(items as Stroke[], index, { length: asLength(next) });
    },
    by === 1 ? "Make it longer" : "Make it shorter",
  );
const travel = (by: number) => (): void =>
  edit((items, index) => {
    const item = items[index]!;
    if (!("move" in item) || item.move === "hold" || item.shape === "released") return items;
    return changed(items as Stroke[], index, {
      travel: Math.min(3600, Math.max(5, (item.travel ?? 45) + by)),
    });
  }, "Change the travel");
const times = (by: number) => (): void =>
  edit((items, index) => {
    const item = items[index]!;
    const canSplit =
      "move" in item
        ? item.move !== "hold" && item.shape !== "released"
        : item.fader === "click" || item.fader === "pulse";
    const next = Math.min(64, Math.max(1, (item.times ?? 1) + by));
    return canSplit ? changed(items as Stroke[], index, { times: next === 1 ? undefined : next }) : items;
  }, "Split it");

const ACTIONS: readonly Action[] = [
  { id: "w-left", name: "To the stroke or cell before", keys: ["ArrowLeft"], run: step(-1) },
  { id: "w-right", name: "To the next stroke or cell", keys: ["ArrowRight"], run: step(1) },
  {
    id: "w-hand",
    name: "To the other hand",
    keys: ["ArrowUp", "ArrowDown"],
    run: () => {
      inHand.value = { hand: inHand.value.hand === "record" ? "fader" : "record", index: 0 };
    },
  },
  { id: "w-forward", name: "Make it forward", keys: ["f"], run: kind("forward") },
  { id: "w-back", name: "Make it back", keys: ["b"], run: kind("back") },
  { id: "w-hold", name: "Make it a hold", keys: ["h"], run: kind("hold") },
  { id: "w-open", name: "Make it open", keys: ["o"], run: kind("open") },
  { id: "w-closed", name: "Make it closed", keys: ["n"], run: kind("closed") },
  { id: "w-click", name: "Make it a click", keys: ["c"], run: kind("click") },
  { id: "w-pulse", name: "Make it a pulse", keys: ["p"], run: kind("pulse") },
  { id: "w-longer", name: "A step longer", keys: ["+", "="], run: longer(1) },
  { id: "w-shorter", name: "A step shorter, or half", keys: ["-"], run: longer(-1) },
  { id: "w-more", name: "15 degrees more travel", keys: ["."], run: travel(15) },
  { id: "w-less", name: "15 degrees less travel", keys: [","], run: travel(-15) },
  { id: "w-split", name: "Split once more", keys: ["x"], run: times(1) },
  { id: "w-join", name: "Split once less", keys: ["Shift+x"], run: times(-1) },
  {
    id: "w-copy",
    name: "Another like it after it",
    keys: ["Enter"],
    run: () => {
      edit(
        (items, index) => [...items.slice(0, index + 1), items[index]!, ...items.slice(index + 1)],
        "Add one",
      );
      step(1)();
    },
  },
  {
    id: "w-remove",
    name: "Take it out",
    keys: ["Delete", "Backspace"],
    run: () =>
      edit(
        (items, index) => (items.length === 1 ? items : items.filter((_, at) => at !== index)),
        "Take one out",
      ),
  },
  {
    id: "w-turn",
    name: "Start the hand one later in its cycle",
    keys: ["r"],
    run: () => edit((items) => [...items.slice(1), items[0]!], "Turn the cycle"),
  },
  { id: "w-mirror", name: "Exchange forward and back", keys: ["v"], run: mirror },
];
function mirror(): void {
  const pattern = patternInHand();
  if (pattern === null) return;
  const strokes = pattern.record.strokes.map((stroke) =>
    stroke.move === "hold" ? stroke : asMove(stroke, stroke.move === "forward" ? "back" : "forward"),
  );
  keep(withItems(pattern, "record", strokes), "Exchange forward and back");
}

/** A phrase, or with "beat " before its id a beat. */
export function WriteScreen() {
  const id = /^beat (.+)$/.exec(place.value.of)?.[1];
  const routine = opened.value?.routine;
  const beat = routine?.beats.find((one) => one.id === id);
  return (
    <>
      <div class="line">
        <label class="field">
          <span>Write</span>
          <select
            value={beat === undefined ? (patternInHand()?.id ?? "") : `beat ${beat.id}`}
            onChange={(e) => {
              inHand.value = { hand: "record", index: 0 };
              goTo("write", e.currentTarget.value);
            }}
          >
            <optgroup label="Phrases">
              {routine?.patterns.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.name ?? one.id}
                </option>
              ))}
            </optgroup>
            <optgroup label="Beats">
              {routine?.beats.map((one) => (
                <option key={one.id} value={`beat ${one.id}`}>
                  {one.name ?? one.id}
                </option>
              ))}
            </optgroup>
          </select>
        </label>
        <NewPhrase {...(beat === undefined && patternInHand() !== null ? { like: patternInHand()! } : {})} />
        <NewBeat />
      </div>
      {beat === undefined ? <PhraseEditor /> : <BeatEditor key={beat.id} beat={beat} />}
    </>
  );
}

function PhraseEditor() {
  const ref = useRef<HTMLDivElement>(null);
  const width = Math.max(200, useWidth(ref) - GUTTER - 4);
  useActions("Write", ACTIONS);
  const routine = opened.value?.routine;
  const kept = patternInHand();
  const pattern = trying.value?.id === kept?.id ? (trying.value ?? kept) : kept;
  const rev = opened.value?.rev;
  useEffect(() => {
    if (routine === undefined || pattern === null) return;
    draft(aloneEdit(routine, pattern));
    material.value = { kind: "alone", routine: aloneRoutine(routine, pattern) as never };
  }, [pattern, rev]);
  useEffect(
    () => () => {
      trying.value = null;
      material.value = null;
      noDraft();
    },
    [],
  );
  if (routine === undefined) return <div ref={ref} />;
  if (pattern === null)
    return (
      <div ref={ref} class="write">
        <p>There is no phrase in this routine yet.</p>
      </div>
    );
  const state = shown.value;
  const performance = state?.performances.get(ALONE_ID);
  const index = state?.performance.sections.findIndex(({ performance }) => performance.id === ALONE_ID) ?? -1;
  const facts = state?.patternFacts.get(pattern.id);
  const home = homeOf(routine, pattern.id);
  const bars = comeRoundBars(pattern, home.meter);
  const sample = routine.rig?.samples?.[0];
  const { combined } = lengthsOf(pattern);
  return (
    <div ref={ref} class="write">
      <div class="line">
        <label class="field">
          <span>Name</span>
          <input
            value={pattern.name ?? ""}
            onChange={(e) =>
              change(
                { kind: "change-pattern", id: pattern.id, set: { name: e.currentTarget.value || null } },
                "Rename the phrase",
              )
            }
          />
        </label>
        <span class="quiet">
          as in {home.name ?? home.id}: {home.meter}
        </span>
      </div>
      <Entry hand="record" pattern={pattern} />
      <Entry hand="fader" pattern={pattern} />
      <ItemFields pattern={pattern} />
      {facts !== undefined && (
        <p>
          <Help term="combined length">Combined length</Help> {facts.combinedSteps} steps,{" "}
          {counted(facts.sounds, "sound")}; <Help term="come-round">comes round</Help> after{" "}
          {counted(bars, "bar")}
          {bars > MOST_BARS && `, of which ${MOST_BARS} are shown`}; {facts.mirrored ? "" : "not "}
          <Help term="mirror">mirrored</Help>; <Help term="drift">drift</Help>{" "}
          {facts.driftDegrees === null ? "depends on the tempo" : hoursText(facts.driftDegrees)}
          {facts.names.length > 0 && `; ${facts.names.join(", ")}`}
          {facts.described.length > 0 && `; ${facts.described.join(", ")}`}.{" "}
          <Help term="playability">Your limits</Help>:{" "}
          {facts.reach
            .map(({ limit, reachedAtTempo }) => `${LIMIT_WORDS[limit]} at ${Math.round(reachedAtTempo)}`)
            .join(", ")}{" "}
          quarters a minute.
        </p>
      )}
      <Legend />
      {state !== null && index >= 0 && performance !== undefined && (
        <>
          <div class="bench">
            <SectionRows
              stackId={ALONE}
              performance={state.performance}
              index={index}
              routine={state.routine}
              width={width}
            />
            <Bench
              pattern={pattern}
              bar={performance.bar}
              bars={Math.round(performance.length / performance.bar)}
              width={width}
            />
          </div>
          <PositionChart
            performance={performance}
            until={Math.min(performance.length, Math.max(combined, performance.bar))}
            bar={performance.bar}
            repeatsEvery={sample?.repeatsEvery ?? 360}
            width={width + GUTTER}
          />
        </>
      )}
    </div>
  );
}

const LIMIT_WORDS = {
  clicks: "clicks",
  splitClicks: "split clicks",
  strokes: "strokes",
  splitStrokes: "split strokes",
  closedMs: "closed time",
  openMs: "open time",
  speed: "record speed",
} as const;

function NewPhrase(props: { like?: Pattern }) {
  return (
    <button
      type="button"
      onClick={() => {
        const taken = new Set((opened.value?.routine.patterns ?? []).map(({ id }) => id));
        let number = taken.size + 1;
        while (taken.has(`phrase-${number}`)) number += 1;
        const id = `phrase-${number}`;
        const step = props.like?.record.step ?? "1/16";
        change(
          {
            kind: "add-pattern",
            pattern: {
              id,
              name: `Phrase ${number}`,
              record: { step, strokes: [{ move: "forward" }, { move: "back" }] },
              fader: { step, cells: [{ fader: "click" }, { fader: "open" }, { fader: "open" }] },
            },
          },
          `Add Phrase ${number}`,
        );
        goTo("write", id);
      }}
    >
      New phrase
    </button>
  );
}

/** One hand as a line of words, and its step. */
function Entry(props: { hand: Hand; pattern: Pattern }) {
  const { hand, pattern } = props;
  const ref = useRef<HTMLInputElement>(null);
  const text = hand === "record" ? strokesText(pattern.record.strokes) : cellsText(pattern.fader.cells);
  const read = (value: string): Pattern | null => {
    const items = hand === "record" ? readStrokes(value) : readCells(value);
    const trouble = "trouble" in items ? items.trouble : "";
    ref.current?.setCustomValidity(trouble);
    return "trouble" in items ? null : withItems(pattern, hand, items.items);
  };
  // What others change shows here, but never under the fingers of whoever types.
  useEffect(() => {
    if (ref.current !== null && document.activeElement !== ref.current) ref.current.value = text;
  }, [text]);
  const stepNow = pattern[hand].step;
  return (
    <div class="line">
      <label class="field entry-field">
        <span>{hand === "record" ? "Record hand" : "Fader hand"}</span>
        <input
          ref={ref}
          class="entry"
          defaultValue={text}
          onBlur={(e) => {
            e.currentTarget.value = text;
          }}
          onInput={(e) => {
            const next = read(e.currentTarget.value);
            if (next !== null) trying.value = next;
          }}
          onChange={(e) => {
            const next = read(e.currentTarget.value);
            if (next === null) ref.current?.reportValidity();
            else keep(next, "Write the phrase");
          }}
        />
      </label>
      <label class="field">
        <span>
          <Help term="step">Step</Help>
        </span>
        <select
          aria-label={`Step of the ${hand} hand`}
          value={stepNow}
          onChange={(e) =>
            keep({ ...pattern, [hand]: { ...pattern[hand], step: e.currentTarget.value } }, "Change the step")
          }
        >
          {[...new Set([stepNow, ...STEPS])].map((one) => (
            <option key={one} value={one}>
              {one} {stepName(one, noteNames.value)}
            </option>
          ))}
        </select>
      </label>
    </div>
  );
}

/** All values of the stroke or cell in hand. */
function ItemFields(props: { pattern: Pattern }) {
  const { hand } = inHand.value;
  const items = itemsOf(props.pattern, hand);
  const index = Math.min(inHand.value.index, items.length - 1);
  const item = items[index]!;
  const set = (what: Record<string, unknown>, words: string): void =>
    edit((all, at) => changed(all as Stroke[], at, what), words);
  const length = (name: "length" | "closedFor" | "openFor", label: string, standard: string) => (
    <label class="field">
      <span>{label}</span>
      <input
        class="number"
        value={String((item as unknown as Record<string, unknown>)[name] ?? standard)}
        onChange={(e) => {
          const value = readFraction(e.currentTarget.value);
          set(
            { [name]: value === null || value.n === 0n ? undefined : asLength(value) },
            `Change the ${label}`,
          );
        }}
      />
    </label>
  );
  const number = (name: "travel" | "times", label: Term, standard: number, most: number) => (
    <label class="field">
      <span>
        <Help term={label} />
      </span>
      <input
        class="number"
        type="number"
        min={1}
        max={most}
        step="any"
        aria-label={label}
        value={Number((item as unknown as Record<string, unknown>)[name] ?? standard)}
        onChange={(e) =>
          set(
            {
              [name]: Number(e.currentTarget.value) === standard ? undefined : Number(e.currentTarget.value),
            },
            `Change the ${label}`,
          )
        }
      />
    </label>
  );
  const moves = "move" in item && item.move !== "hold";
  return (
    <div class="line" role="group" aria-label="The stroke or cell in hand">
      <strong>
        {hand === "record" ? "Stroke" : "Cell"} {index + 1} of {items.length}
      </strong>
      {hand === "record"
        ? (["forward", "back", "hold"] as const).map((move) => (
            <button
              key={move}
              type="button"
              aria-pressed={"move" in item && item.move === move}
              onClick={kind(move)}
            >
              {move}
            </button>
          ))
        : (["open", "closed", "click", "pulse"] as const).map((fader) => (
            <button
              key={fader}
              type="button"
              aria-pressed={"fader" in item && item.fader === fader}
              onClick={kind(fader)}
            >
              {fader}
            </button>
          ))}
      {length("length", "Length in steps", "1")}
      {moves && item.shape !== "released" && number("travel", "travel", 45, 3600)}
      {moves && item.shape !== "released" && <span class="quiet">{hoursText(item.travel ?? 45)}</span>}
      {moves && (
        <label class="field">
          <span>
            <Help term="shape" />
          </span>
          <select
            aria-label="shape"
            value={item.shape ?? "eased"}
            onChange={(e) => {
              const shape = e.currentTarget.value;
              set(
                shape === "released"
                  ? { shape, travel: undefined, times: undefined }
                  : { shape: shape === "eased" ? undefined : shape },
                "Change the shape",
              );
            }}
          >
            <option value="eased">eased</option>
            <option value="even">even</option>
            {item.move === "forward" && <option value="released">released</option>}
          </select>
        </label>
      )}
      {((moves && item.shape !== "released") ||
        ("fader" in item && (item.fader === "click" || item.fader === "pulse"))) &&
        number("times", "times", 1, 64)}
      {"fader" in item && item.fader === "click" && length("closedFor", "Shut for, steps", "")}
      {"fader" in item && item.fader === "pulse" && length("openFor", "Open for, steps", "")}
    </div>
  );
}
