/** What a section is, in one line. */
import type { Section } from "../../schemas/routine.ts";
import { setLoop } from "../audio/loop.ts";
import { clockText, counted } from "../parts/music.ts";
import { paperOf } from "../paper/address.ts";
import { shown } from "../state/shown.ts";
import { formsOpen, toggleForm } from "./sections.ts";
import { SectionForm, tempoText } from "./SectionForm.tsx";

export function SectionHead(props: { section: Section; index: number }) {
  const { section, index } = props;
  const state = shown.value;
  const timed = state?.performance.sections[index];
  if (state === null) return null;
  const name = section.name ?? section.id;
  const beat = state.routine.beats.find(({ id }) => id === section.beat);
  const open = formsOpen.value.has(section.id);
  return (
    <>
      <div class="line section-head">
        <h2>{name}</h2>
        <span class="quiet">
          {timed !== undefined && `${clockText(timed.startSeconds)} · `}
          {counted(section.bars, "bar")} of {section.meter} at {tempoText(section.tempo)}
          {beat === undefined ? ", no beat" : `, beat ${beat.name ?? beat.id}`}
          {section.swing !== undefined && ", with swing"}
          {section.pitch !== undefined && `, pitch ${section.pitch > 0 ? "+" : ""}${section.pitch} %`}
        </span>
        <button type="button" class="plain" onClick={() => setLoop({ kind: "section", section: section.id })}>
          Loop
        </button>
        {index > 0 && (
          <button type="button" class="plain" onClick={() => setLoop({ kind: "join", section: section.id })}>
            Loop the join before
          </button>
        )}
        <button type="button" class="plain" aria-expanded={open} onClick={() => toggleForm(section.id)}>
          Change
        </button>
        <a class="quiet" href={paperOf({ kind: "section", id: section.id })}>
          Paper
        </a>
      </div>
      {open && <SectionForm section={section} index={index} />}
    </>
  );
}
