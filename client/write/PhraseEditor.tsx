/** One phrase by itself: both hands edited on the rows and as plain words, and all that is worked out about it. */
import { useEffect, useRef } from "preact/hooks";
import type { Pattern, Section } from "../../schemas/routine.ts";
import { ALONE } from "../audio/follow.ts";
import { useByItself } from "../audio/byItself.ts";
import { barUnits, beatUnits } from "../parts/music.ts";
import { useWidth } from "../parts/width.ts";
import { PhrasePanels } from "../facts/PhrasePanels.tsx";
import { Legend } from "../rows/Legend.tsx";
import { heardAlone, rowMetrics } from "../rows/heard.ts";
import { GUTTER, rowHeight } from "../rows/metrics.ts";
import { SectionRows } from "../rows/SectionRows.tsx";
import { lengthsOf } from "../routine/moving.ts";
import { useActions } from "../state/actions.ts";
import { link } from "../state/connection.ts";
import { heardShown } from "../state/settings.ts";
import { draft, noDraft } from "../state/draft.ts";
import { opened, shown } from "../state/shown.ts";
import { Bench } from "./Bench.tsx";
import { HandEntry } from "./HandEntry.tsx";
import { HandTools } from "./HandTools.tsx";
import { inHand, letGoOfTrying, patternInHand, patternNow } from "./inHand.ts";
import { TapPanel } from "./tap/TapPanel.tsx";
import { startTapping, tapOverPhrase, tapping } from "./tap/tapping.ts";
import { ItemButtons, ItemFields } from "./ItemFields.tsx";
import { lender, newPhrase, STARTS } from "./phraseList.ts";
import { ALONE_ID, aloneEdit, aloneRoutine, aloneSection, comeRoundBars, homeOf, tempoOf } from "./phrase.ts";
import { PhraseFacts } from "./PhraseFacts.tsx";
import { PHRASE_ACTIONS } from "./phraseActions.ts";
import { PositionChart } from "./PositionChart.tsx";

const BEGINNINGS = STARTS.map((start, index) => ({
  id: `begin-${index}`,
  name: `Begin a phrase: ${start.name}`,
  keys: [],
  run: () => newPhrase(start),
}));
/** Side by side where there is room. */
const TWO_COLUMNS = 900;

export function PhraseEditor() {
  const ref = useRef<HTMLDivElement>(null);
  const full = useWidth(ref);
  const width = Math.max(200, full - GUTTER - 4);
  useActions("Write", PHRASE_ACTIONS);
  useActions("Begin", BEGINNINGS);
  const routine = opened.value?.routine;
  const pattern = patternNow();
  const kept = patternInHand();
  const rev = opened.value?.rev;
  const home =
    routine === undefined || pattern === null
      ? null
      : (routine.sections.find(({ id }) => id === lender.value) ?? homeOf(routine, pattern.id));
  useEffect(() => {
    if (routine === undefined || pattern === null || kept === null || home === null) return;
    draft(aloneEdit(routine, home, pattern));
  }, [pattern, rev, home, kept === null]);
  // While one taps, what is heard stays as it was: the place in the music must not leap.
  const heard = tapping.value === null ? pattern : kept;
  const phraseToo = tapping.value === null || tapOverPhrase.value;
  useByItself(
    () =>
      routine === undefined || heard === null || home === null
        ? null
        : aloneRoutine(routine, home, heard, phraseToo),
    [heard, rev, home, phraseToo],
  );
  useEffect(
    () => () => {
      letGoOfTrying();
      noDraft();
    },
    [],
  );
  useEffect(() => {
    letGoOfTrying();
    // Another phrase is heard where it is played itself.
    return () => {
      lender.value = "";
    };
  }, [kept?.id]);
  useEffect(keepInSight, [inHand.value.hand]);
  if (routine === undefined || pattern === null || home === null) return <div ref={ref} />;
  const state = shown.value;
  const performance = state?.performances.get(ALONE_ID);
  const index = state?.performance.sections.findIndex(({ performance }) => performance.id === ALONE_ID) ?? -1;
  const facts = state?.patternFacts.get(pattern.id);
  const bars = comeRoundBars(pattern, home.meter);
  const sample = routine.rig?.samples?.[0];
  const { combined } = lengthsOf(pattern);
  const beat = beatUnits(home.meter);
  return (
    <div ref={ref} class="write">
      <HandEntry hand="record" pattern={pattern} />
      <HandEntry hand="fader" pattern={pattern} />
      <ItemFields pattern={pattern} />
      <div class="line">
        <ItemButtons pattern={pattern} />
        <button type="button" aria-pressed={tapping.value !== null} onClick={startTapping}>
          Tap it
        </button>
        <HandTools pattern={pattern} />
        <label class="field">
          <span>Heard and counted as in</span>
          <select
            value={home.id}
            onChange={(e) => {
              lender.value = e.currentTarget.value;
            }}
          >
            {routine.sections.map((one) => (
              <option key={one.id} value={one.id}>
                {one.name ?? one.id}: {one.meter}, {tempoOf(one)}
              </option>
            ))}
          </select>
        </label>
      </div>
      {tapping.value !== null && kept !== null && (
        <TapPanel
          pattern={kept}
          home={home}
          width={full}
          loop={aloneSection(home, kept).bars * barUnits(home.meter)}
        />
      )}
      <div class="beside">
        {facts !== undefined && (
          <PhraseFacts
            facts={facts}
            placed={state?.sectionFacts.get(ALONE_ID)?.placements[0]}
            bars={bars}
            beat={beat}
            tempo={tempoOf(home)}
          />
        )}
        {performance !== undefined && (
          <PositionChart
            performance={performance}
            until={Math.min(performance.length, Math.max(combined, performance.bar))}
            bar={performance.bar}
            repeatsEvery={sample?.repeatsEvery ?? 360}
            width={full >= TWO_COLUMNS ? Math.floor((full - 24) / 2) : full}
          />
        )}
      </div>
      {state !== null && index >= 0 && performance !== undefined && (
        <div class="bench">
          <SectionRows
            stackId={ALONE}
            performance={state.performance}
            index={index}
            routine={state.routine}
            width={width}
            metrics={rowMetrics.value}
            heard={heardShown.value ? pictureOf(home, pattern) : undefined}
          />
          <Bench
            pattern={pattern}
            bar={performance.bar}
            bars={Math.round(performance.length / performance.bar)}
            width={width}
            rowHeight={rowHeight(rowMetrics.value, 1)}
            beat={beat}
            combined={combined}
          />
        </div>
      )}
      {performance === undefined && link.value === "offline" && (
        <p role="status" class="quiet">
          The server works out its rows: they come when it is back.
        </p>
      )}
      <Legend />
      <PhrasePanels placed={state?.sectionFacts.get(ALONE_ID)?.placements[0]} beat={beat} />
    </div>
  );
}

/** What is heard of the phrase by itself. */
function pictureOf(home: Section, pattern: Pattern) {
  const now = opened.value;
  if (now === null) return undefined;
  return heardAlone(now.name, aloneRoutine(now.routine, home, pattern), [pattern, home, now.routine.rig]);
}

/** The focus follows the caret from one hand's list to the other's. */
function keepInSight(): void {
  if (document.activeElement?.getAttribute("role") !== "listbox") return;
  document.getElementById(`${inHand.value.hand}-0`)?.parentElement?.focus();
}
