/** What was found: a page of small bar rows with their facts, gone through with the arrow keys. */
import { useEffect, useRef } from "preact/hooks";
import { type HandFigure, type PatternFacts, type PlacementFacts, wholeTempo } from "../../schemas/facts.ts";
import { leaveAfterMouse } from "../parts/leaveAfterMouse.ts";
import { beatUnits, counted, hoursText, tidy, unitsOfText } from "../parts/music.ts";
import { BarRow } from "../rows/BarRow.tsx";
import { contentOf, type Row } from "../rows/content.ts";
import { speedOfDegreeUnit } from "../rows/SectionRows.tsx";
import { rowText } from "../rows/words.ts";
import type { Opened } from "../state/opened.ts";
import { type Candidate, FINDS_ID, PAGE } from "./candidates.ts";
import { chosen, kept, pageStart } from "./choosing.ts";
import { SMALL } from "./small.ts";

/** What is drawn of a page, once the server has worked it out. */
interface Worked {
  readonly state: Opened;
  readonly rows: readonly Row[];
  readonly bar: number;
  readonly placements: readonly PlacementFacts[];
}

function workedOf(state: Opened | null): Worked | null {
  const index = state?.performance.sections.findIndex(({ performance }) => performance.id === FINDS_ID) ?? -1;
  if (state === null || index < 0) return null;
  const { rows, bar } = contentOf(state.performance, index);
  return { state, rows, bar, placements: state.sectionFacts.get(FINDS_ID)?.placements ?? [] };
}

export function Results(props: {
  state: Opened | null;
  candidates: readonly Candidate[];
  width: number;
  /** Keeps the one in hand, from its own row: where what else is said of it stands far below. */
  onKeep: (() => void) | undefined;
}) {
  const { candidates, width } = props;
  const at = Math.min(chosen.value, candidates.length - 1);
  const from = pageStart(at);
  const page = candidates.slice(from, from + PAGE);
  const worked = workedOf(props.state);
  const before = useRef(at);
  useEffect(() => {
    // Not for the first one: what is to be found stands over it.
    if (before.current !== at)
      document.getElementById(`candidate-${at}`)?.scrollIntoView({ block: "nearest" });
    before.current = at;
  }, [at]);
  return (
    <section aria-label="Found phrases">
      <ol class="finds" start={from + 1}>
        {page.map((one, index) => (
          <Result
            key={from + index}
            number={from + index}
            one={one}
            worked={worked}
            row={index}
            inHand={from + index === at}
            width={width}
            onKeep={props.onKeep}
          />
        ))}
      </ol>
      {candidates.length > PAGE && (
        <div class="line">
          <button type="button" disabled={from === 0} onClick={() => (chosen.value = from - PAGE)}>
            The {PAGE} before
          </button>
          <span>
            {from + 1} to {from + page.length} of {candidates.length}
          </span>
          <button
            type="button"
            disabled={from + PAGE >= candidates.length}
            onClick={() => (chosen.value = from + PAGE)}
          >
            The next {Math.min(PAGE, Math.max(0, candidates.length - from - PAGE))}
          </button>
        </div>
      )}
    </section>
  );
}

function Result(props: {
  number: number;
  one: Candidate;
  worked: Worked | null;
  row: number;
  inHand: boolean;
  width: number;
  onKeep: (() => void) | undefined;
}) {
  const { number, one, worked, inHand, width } = props;
  const placed = worked?.placements.find(({ placement }) => placement === props.row);
  const facts = placed === undefined ? undefined : worked?.state.patternFacts.get(placed.pattern);
  const keptAs = kept.value.get(one);
  return (
    <li id={`candidate-${number}`} class={inHand ? "find-row chosen" : "find-row"}>
      <button
        type="button"
        aria-label={`Phrase ${number + 1}`}
        aria-pressed={inHand}
        onClick={(event) => {
          leaveAfterMouse(event);
          chosen.value = number;
        }}
      >
        {number + 1}
      </button>
      <div class="find-body">
        {one.says !== null && <strong>{changeWords(one)}</strong>}
        <div class="find-bar" style={{ width: `${width}px` }}>
          {worked !== null && <SmallRow worked={worked} row={props.row} width={width} />}
        </div>
        <p class="find-facts">
          {one.combinedSteps} steps; comes round after {counted(one.comeRoundBars, "bar")},{" "}
          {counted(one.comeRoundRepeats, "repeat")}; difficulty{" "}
          {one.difficulty === null ? "not known" : tidy(one.difficulty, 2)}
          {one.ranked !== null && `, ${one.ranked}`}
          {facts !== undefined && `; ${factWords(facts)}`}
          {placed !== undefined && <Hands figures={placed.hands} />}
          {keptAs !== undefined && <strong>; kept as {keptAs.name}</strong>}
        </p>
        {inHand && keptAs === undefined && props.onKeep !== undefined && (
          <button type="button" aria-label={`Keep it, phrase ${number + 1}`} onClick={props.onKeep}>
            Keep it
          </button>
        )}
      </div>
    </li>
  );
}

function changeWords({ says, harder }: Candidate): string {
  if (harder === null || says === null) return says ?? "";
  const by = tidy(Math.abs(harder), 2);
  return `${says}: ${harder === 0 ? "as hard" : harder > 0 ? `harder by ${by}` : `easier by ${by}`}`;
}

function factWords({ sounds, mirrored, driftDegrees, names }: PatternFacts): string {
  const drift =
    driftDegrees === null ? "drift by tempo" : driftDegrees === 0 ? "" : `drift ${hoursText(driftDegrees)}`;
  return [
    counted(sounds, "sound"),
    mirrored ? "mirrored" : "",
    drift,
    names.length > 0 ? names.join(", ") : "",
  ]
    .filter((words) => words !== "")
    .join("; ");
}

/** Whether the hands can do it at this tempo, and up to which. */
function Hands(props: { figures: readonly HandFigure[] }) {
  const { figures } = props;
  if (figures.length === 0) return null;
  const least = wholeTempo(Math.min(...figures.map(({ reachedAtTempo }) => reachedAtTempo)));
  return figures.every(({ within }) => within) ? (
    <span>; within your limits up to {least}</span>
  ) : (
    <span class="trouble">; beyond your limits from {least} on</span>
  );
}

function SmallRow(props: { worked: Worked; row: number; width: number }) {
  const { state, rows, bar } = props.worked;
  const row = rows[props.row];
  const section = state.routine.sections.find(({ id }) => id === FINDS_ID);
  if (row === undefined || section === undefined) return null;
  return (
    <BarRow
      row={row}
      bar={bar}
      width={props.width}
      players={[1]}
      metrics={SMALL}
      beat={beatUnits(section.meter)}
      step={unitsOfText("1/16")}
      speedPerDegreeUnit={speedOfDegreeUnit(state.routine, section)}
      meter={section.meter}
      text={rowText({ ...row, number: 1 }, section.meter, () => "the phrase")}
      beatRests={false}
      counts={false}
      looks=""
      name={() => ""}
      mark={() => "plain"}
      chosen={() => false}
    />
  );
}
