/**
 * A practice sheet: a section, a phrase or the whole routine as bar rows with counts, words and names, and the table
 * of repeats; for either hand's set-up. What is seen is what is printed.
 */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { Routine, Section } from "../../schemas/routine.ts";
import { ChoiceField, TickField } from "../parts/Fields.tsx";
import { clockText, counted } from "../parts/music.ts";
import { Legend } from "../rows/Legend.tsx";
import { SectionRows } from "../rows/SectionRows.tsx";
import { useActions } from "../state/actions.ts";
import { addressOf, goTo } from "../state/place.ts";
import { draft, noDraft } from "../state/draft.ts";
import { opened, shown } from "../state/shown.ts";
import { tempoText } from "../routine/SectionForm.tsx";
import { ALONE_ID, aloneEdit, homeOf } from "../write/phrase.ts";
import { partOf, type Subject } from "./address.ts";
import { Repeats } from "./Repeats.tsx";
import { handsOf, handsText } from "./hands.ts";
import { Plan } from "./Plan.tsx";

/** CSS pixels of a row on A4 or Letter, upright, inside usual margins. */
const PAPER_WIDTH = 620;

/** For the other set-up than the rig's own. */
const mirrored = signal(false);

export function Sheet({ subject }: { subject: Subject }) {
  const routine = opened.value?.routine;
  const pattern =
    subject.kind === "phrase" ? routine?.patterns.find(({ id }) => id === subject.id) : undefined;
  const rev = opened.value?.rev;
  // A phrase by itself stands in a section that is drafted, and never kept.
  useEffect(() => {
    if (routine === undefined || pattern === undefined) return;
    draft(aloneEdit(routine, homeOf(routine, pattern.id), pattern));
    return noDraft;
  }, [pattern, rev]);
  useActions("Paper", [
    { id: "print", name: "Print the sheet", keys: ["Ctrl+p"], run: () => print() },
    {
      id: "mirror-paper",
      name: "The sheet for the other-handed set-up, or for your own",
      keys: ["m"],
      run: () => {
        mirrored.value = !mirrored.value;
      },
    },
    { id: "leave-paper", name: "Back to the routine", keys: ["Escape"], run: () => goTo("routine") },
  ]);
  const state = shown.value;
  if (state === null || routine === undefined) return null;
  const hands = handsOf(routine.rig, mirrored.value);
  const ids =
    subject.kind === "routine"
      ? routine.sections.map(({ id }) => id)
      : [subject.kind === "phrase" ? ALONE_ID : subject.id];
  const parts = ids.flatMap((id) => {
    const index = state.routine.sections.findIndex((section) => section.id === id);
    const section = state.routine.sections[index];
    return section === undefined ? [] : [{ section, index }];
  });
  return (
    <div class="paper">
      <div class="line controls">
        <ChoiceField
          label="On the sheet"
          value={partOf(subject)}
          options={[
            ["paper", "the whole routine"],
            ...routine.sections.map(
              ({ id, name }) => [`paper section ${id}`, `section ${name ?? id}`] as const,
            ),
            ...routine.patterns.map(
              ({ id, name }) => [`paper phrase ${id}`, `phrase ${name ?? id}`] as const,
            ),
          ]}
          onValue={(of) => goTo("routine", of)}
        />
        <TickField
          label="for the other-handed set-up"
          value={mirrored.value}
          onValue={(on) => {
            mirrored.value = on;
          }}
        />
        <button type="button" onClick={() => print()}>
          Print
        </button>
        <a href={addressOf("routine")}>Back to the routine</a>
      </div>
      <header>
        <h2>
          {routine.title}
          {pattern !== undefined && `: ${pattern.name ?? pattern.id}`}
        </h2>
        <p>{handsText(hands)}</p>
        <Plan hands={hands} />
      </header>
      <Legend />
      {parts.length === 0 && (
        <p role="status">
          {subject.kind === "phrase" ? "Drawing the phrase…" : "This section is not there any more."}
        </p>
      )}
      {parts.map(({ section, index }) => (
        <section key={section.id} class="part">
          {subject.kind !== "phrase" && <h3>{section.name ?? section.id}</h3>}
          <p class="quiet">
            {aboutSection(state.routine, section, state.performance.sections[index]?.startSeconds)}
          </p>
          <SectionRows
            performance={state.performance}
            index={index}
            stackId={`paper ${section.id}`}
            routine={state.routine}
            width={PAPER_WIDTH}
            counts
            hands={hands}
          />
          <Repeats section={section} facts={state.sectionFacts.get(section.id)} routine={state.routine} />
        </section>
      ))}
    </div>
  );
}

function aboutSection(routine: Routine, section: Section, starts: number | undefined): string {
  const beat = routine.beats.find(({ id }) => id === section.beat);
  return [
    ...(starts === undefined || section.id === ALONE_ID ? [] : [`starts at ${clockText(starts)}`]),
    `${counted(section.bars, "bar")} of ${section.meter}`,
    `${tempoText(section.tempo)} quarters a minute`,
    beat === undefined ? "no beat" : `beat ${beat.name ?? beat.id}`,
    ...(section.swing === undefined
      ? []
      : [`swing: hands ${section.swing.hands ?? 50} %, beat ${section.swing.beat ?? 50} %`]),
    ...(section.pitch === undefined ? [] : [`pitch slider ${section.pitch} %`]),
  ].join("; ");
}
