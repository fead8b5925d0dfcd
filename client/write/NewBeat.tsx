/** Begins a beat. */
import { goTo } from "../state/place.ts";
import { change, opened } from "../state/store.ts";

export function NewBeat() {
  return (
    <button
      type="button"
      onClick={() => {
        const taken = new Set((opened.value?.routine.beats ?? []).map(({ id }) => id));
        let number = taken.size + 1;
        while (taken.has(`beat-${number}`)) number += 1;
        const id = `beat-${number}`;
        change(
          {
            kind: "add-beat",
            beat: {
              id,
              name: `Beat ${number}`,
              step: "1/16",
              steps: 16,
              hits: [
                { key: 36, at: [0, 8] },
                { key: 38, at: [4, 12] },
              ],
            },
          },
          `Add Beat ${number}`,
        );
        goTo("write", `beat ${id}`);
      }}
    >
      New beat
    </button>
  );
}
