/** What a routine with nothing in it shows: the way from here to music, each step to be done where it stands. */
import { ChoiceField, NumberField } from "../parts/Fields.tsx";
import { addressOf, BUILT_IN, MINE } from "../state/place.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { reveal } from "./reveal.ts";
import { moveSpot, spot } from "./spot.ts";

export function FirstSteps() {
  const routine = opened.value?.routine;
  const [section] = routine?.sections ?? [];
  if (routine === undefined || section === undefined) return null;
  if (routine.sections.some(({ placements }) => placements.length > 0)) return null;
  const { patterns, beats } = routine;
  const name = section.name ?? section.id;
  return (
    <section class="first-steps" aria-label="First steps">
      <p>Nothing is in this routine yet. These four steps make music of it:</p>
      <ol>
        <li>
          {patterns.length > 0 && `There: ${patterns.map((one) => one.name ?? one.id).join(", ")}. `}
          <a href={addressOf("write")}>{patterns.length === 0 ? "Write a phrase" : "Write another phrase"}</a>
          , or fetch one from <a href={addressOf("routine", MINE)}>my phrases</a>.
        </li>
        <li>
          {beats.length > 0 && (
            <ChoiceField
              label={`The beat of ${name}`}
              value={section.beat ?? ""}
              options={[["", "none yet"], ...beats.map((beat) => [beat.id, beat.name ?? beat.id] as const)]}
              onValue={(beat) =>
                change(
                  { kind: "change-section", id: section.id, set: { beat: beat === "" ? null : beat } },
                  `Change the beat of ${name}`,
                )
              }
            />
          )}{" "}
          <span>
            {beats.length > 0 ? "or take" : "Take"} one of the{" "}
            <a href={addressOf("write", BUILT_IN)}>built-in beats</a>.
          </span>
        </li>
        <li>
          <NumberField
            label={`${name} lasts`}
            unit={`bars of ${section.meter}.`}
            value={section.bars}
            min={1}
            max={999}
            onValue={(bars) =>
              change({ kind: "change-section", id: section.id, set: { bars } }, `Change the bars of ${name}`)
            }
          />
        </li>
        <li>
          <button
            type="button"
            disabled={patterns.length === 0}
            onClick={() => {
              spot.value = null;
              moveSpot(0, "bar");
              reveal(section.id);
            }}
          >
            Put a phrase in at bar 1
          </button>{" "}
          or click any place in the rows below. It is put in for as long as it takes to come round; the next
          one goes in behind it.
        </li>
      </ol>
    </section>
  );
}
