/** One phrase by itself: both hands edited on the rows and as plain words, and all that is worked out about it. */
import { useEffect, useRef } from "preact/hooks";
import { ALONE } from "../audio/follow.ts";
import { material } from "../audio/transport.ts";
import { useWidth } from "../parts/width.ts";
import { Legend } from "../rows/Legend.tsx";
import { GUTTER } from "../rows/metrics.ts";
import { SectionRows } from "../rows/SectionRows.tsx";
import { lengthsOf } from "../routine/moving.ts";
import { useActions } from "../state/actions.ts";
import { change, draft, noDraft, opened, shown } from "../state/store.ts";
import { Bench } from "./Bench.tsx";
import { HandEntry } from "./HandEntry.tsx";
import { patternInHand, trying } from "./inHand.ts";
import { ItemFields } from "./ItemFields.tsx";
import { ALONE_ID, aloneEdit, aloneRoutine, comeRoundBars, homeOf } from "./phrase.ts";
import { PhraseFacts } from "./PhraseFacts.tsx";
import { PHRASE_ACTIONS } from "./phraseActions.ts";
import { PositionChart } from "./PositionChart.tsx";

export function PhraseEditor() {
  const ref = useRef<HTMLDivElement>(null);
  const width = Math.max(200, useWidth(ref) - GUTTER - 4);
  useActions("Write", PHRASE_ACTIONS);
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
      <HandEntry hand="record" pattern={pattern} />
      <HandEntry hand="fader" pattern={pattern} />
      <ItemFields pattern={pattern} />
      {facts !== undefined && <PhraseFacts facts={facts} bars={bars} />}
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
