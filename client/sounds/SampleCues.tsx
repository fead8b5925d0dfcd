/** The named cues of a sample. */
import type { Sample } from "../../schemas/routine.ts";
import { NumberField } from "../parts/Fields.tsx";
import { IdField } from "../parts/IdField.tsx";
import { idsOf } from "../../schemas/freeId.ts";
import { freshId } from "../parts/ids.ts";
import { changeSample, renameCue } from "./samples.ts";

export function SampleCues(props: { sample: Sample; name: string }) {
  const { sample, name } = props;
  const cues = sample.cues ?? [];
  type Named = NonNullable<Sample["cues"]>;
  const put = (how: (now: Named) => Named, words: string): void =>
    changeSample(
      sample.id,
      ({ cues: now = [] }) => {
        const next = how(now);
        return { cues: next.length === 0 ? undefined : next };
      },
      words,
    );
  return (
    <div class="line" role="group" aria-label={`Named cues of ${name}`}>
      {cues.map((cue) => (
        <span key={cue.id} class="field">
          <IdField label="Cue" id={cue.id} others={cues} onId={(to) => renameCue(sample, cue.id, to)} />
          <NumberField
            label={`The cue ${cue.id} at, degrees`}
            shown="at, degrees"
            min={-1_000_000}
            max={1_000_000}
            step="any"
            value={cue.at}
            onValue={(degrees) =>
              put(
                (now) => now.map((one) => (one.id === cue.id ? { ...one, at: degrees } : one)),
                `Move the cue ${cue.id} of ${name}`,
              )
            }
          />
          <button
            type="button"
            class="plain"
            aria-label={`Remove the cue ${cue.id}`}
            onClick={() =>
              put((now) => now.filter(({ id }) => id !== cue.id), `Remove the cue ${cue.id} of ${name}`)
            }
          >
            Remove
          </button>
        </span>
      ))}
      <form
        class="line"
        onSubmit={(event) => {
          event.preventDefault();
          const field = event.currentTarget.elements.namedItem("cue") as HTMLInputElement;
          const wanted = field.value.trim();
          if (wanted === "") return;
          put(
            (now) => [...now, { id: freshId(wanted, idsOf(now), "cue"), at: 0 }],
            `Add the cue ${wanted} to ${name}`,
          );
          field.value = "";
        }}
      >
        <label class="field">
          <span>Another named cue</span>
          <input name="cue" placeholder="open" />
        </label>
        <button type="submit">Add the cue</button>
      </form>
    </div>
  );
}
