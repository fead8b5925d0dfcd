/** The routine: its sections in order, each with what it is, what is wrong in it, its joins, and its bar rows. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Section } from "../../schemas/routine.ts";
import { paperOf, subjectOf } from "../paper/address.ts";
import { NumberField, TextField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { whenIdle } from "../parts/idle.ts";
import { later } from "../parts/later.tsx";
import { clockText, spanText, counted } from "../parts/music.ts";
import { isPrinting } from "../parts/near.tsx";
import { useWidth } from "../parts/width.ts";
import { Legend } from "../rows/Legend.tsx";
import { GUTTER } from "../rows/metrics.ts";
import { addressOf, MINE, place } from "../state/place.ts";
import { change } from "../state/change.ts";
import { shown } from "../state/shown.ts";
import { ChosenPanel } from "./ChosenPanel.tsx";
import { FirstSteps } from "./FirstSteps.tsx";
import { Glance } from "./Glance.tsx";
import { useRoutineActions } from "./keys.ts";
import "./otherRoutine.ts";
import { guessedHeight, Part } from "./Part.tsx";
import { ProblemList } from "./Problems.tsx";
import { Revealed } from "./Revealed.tsx";
import { SpotPanel } from "./SpotPanel.tsx";
import { addSection } from "./sections.ts";
import { warmUp } from "./warmUp.ts";

const Sheet = later(async () => (await import("../paper/Sheet.tsx")).Sheet);
const MyPhrases = later(async () => (await import("../phrases/MyPhrases.tsx")).MyPhrases);

/** CSS pixels of a row on A4 or Letter, upright, inside usual margins. */
const PAPER_WIDTH = 620;

/** Sections that the first picture is made of, and that are added at a time when the page has nothing else to do. */
const AT_FIRST = 12;
const AT_A_TIME = 60;
/** Milliseconds that they wait at most for such a moment. */
const LONGEST = 200;
const heightOf = (sections: readonly Section[]): number =>
  sections.reduce((sum, { bars }) => sum + guessedHeight(bars), 0);

export function RoutineScreen() {
  const subject = subjectOf(place.value.of);
  if (place.value.of === MINE) return <MyPhrases />;
  return subject === null ? <Sections /> : <Sheet subject={subject} />;
}

function Sections() {
  const ref = useRef<HTMLDivElement>(null);
  const screenWidth = Math.max(200, useWidth(ref) - GUTTER - 4);
  const width = isPrinting.value ? PAPER_WIDTH : screenWidth;
  const state = shown.value;
  const begun = useBegun(state?.routine.sections.length ?? 0);
  useRoutineActions();
  // What else comes goes first.
  const whole = state !== null && state.coming === 0;
  useEffect(() => {
    if (whole) warmUp();
  }, [whole]);
  if (state === null) return <div ref={ref} />;
  const { sections } = state.routine;
  return (
    <div ref={ref} class="routine">
      <Top />
      <Glance width={screenWidth + GUTTER} />
      <FirstSteps />
      <ProblemList />
      <Legend heard />
      {sections.slice(0, begun).map((section, index) => (
        <Part
          key={section.id}
          section={section}
          index={index}
          width={width}
          leadIn={index === 0 ? state.performance.leadInBars : 0}
        />
      ))}
      {begun < sections.length && <div style={{ height: `${heightOf(sections.slice(begun))}px` }} />}
      <button type="button" onClick={() => addSection()}>
        Add a section at the end
      </button>
      <p class="quiet">
        {counted(sections.length, "section")},{" "}
        {counted(
          sections.reduce((sum, { bars }) => sum + bars, 0),
          "bar",
        )}
        . Click an empty place in the rows, or press an arrow key, to put something in there.
      </p>
      <ChosenPanel />
      <SpotPanel />
      <Revealed />
    </div>
  );
}

/** How many of the sections stand on the page: what is in sight is painted before the rest takes its room. */
function useBegun(count: number): number {
  const [begun, setBegun] = useState(AT_FIRST);
  const more = begun < count;
  useEffect(() => {
    if (!more) return;
    return whenIdle(() => setBegun(begun + AT_A_TIME), LONGEST);
  }, [begun, more]);
  return begun;
}

function Top() {
  const state = shown.value;
  if (state === null) return null;
  const { title, timeLimit } = state.routine;
  const seconds = state.performance.endSeconds;
  const over = timeLimit !== undefined && seconds > timeLimit;
  return (
    <div class="line top">
      <TextField
        label="Title"
        value={title}
        read={(text) => text.slice(0, 200)}
        takes=""
        onValue={(text) => change({ kind: "title", title: text }, "Change the title")}
      />
      <span class={over ? "trouble" : ""}>
        {clockText(seconds)}
        {timeLimit !== undefined && ` of ${clockText(timeLimit)} allowed`}
        {over && `, ${spanText(Math.ceil(seconds - timeLimit))} over`}
      </span>
      <NumberField
        label="Time limit, seconds (0: none)"
        shown={<Help term="time limit">Time limit, seconds (0: none)</Help>}
        value={timeLimit ?? 0}
        min={0}
        max={86_400}
        step="any"
        onValue={(limit) =>
          change({ kind: "time-limit", seconds: limit === 0 ? null : limit }, "Change the time limit")
        }
      />
      <a href={paperOf({ kind: "routine" })}>Paper</a>
      <a href={addressOf("routine", MINE)}>My phrases</a>
    </div>
  );
}
