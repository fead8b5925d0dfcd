/** Begins a phrase. */
import type { Pattern } from "../../schemas/routine.ts";
import { goTo } from "../state/place.ts";
import { change, opened } from "../state/store.ts";

export function NewPhrase(props: { like?: Pattern }) {
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
