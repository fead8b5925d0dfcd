/** What a routine with nothing in it shows: the way from here to music. */
import { addressOf } from "../state/place.ts";
import { opened } from "../state/store.ts";
import { moveSpot } from "./spot.ts";

export function FirstSteps() {
  const routine = opened.value?.routine;
  if (routine === undefined || routine.sections.some(({ placements }) => placements.length > 0)) return null;
  const { patterns, beats } = routine;
  return (
    <section class="first-steps" aria-label="First steps">
      <p>Nothing is in this routine yet.</p>
      <ol>
        <li>
          {patterns.length === 0 ? (
            <>
              <a href={addressOf("write")}>Write a phrase</a>, or fetch one from{" "}
              <a href={addressOf("routine", "my phrases")}>my phrases</a>.
            </>
          ) : (
            `${patterns.length === 1 ? "A phrase is" : "Phrases are"} there. `
          )}
        </li>
        <li>
          {beats.length === 0 ? (
            <>
              Take one of the <a href={addressOf("write", "built-in beats")}>built-in beats</a> for a section,
              or draw one.
            </>
          ) : (
            "A beat is there: give it to a section with Change."
          )}
        </li>
        <li>
          <button type="button" disabled={patterns.length === 0} onClick={() => moveSpot(0, "bar")}>
            Put the phrase in
          </button>{" "}
          or click a place in the rows below; more bars are set with Change beside the section's name.
        </li>
      </ol>
    </section>
  );
}
