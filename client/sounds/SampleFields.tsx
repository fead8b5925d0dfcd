/** One sample: its name, what is used of its sound, where 0 degrees lies, when it repeats, and its named cues. */
import type { Edit } from "../../schemas/edit.ts";
import { platterSpeed, samplesOf } from "../../schemas/rig.ts";
import { BuiltInSample, DEFAULT_REPEATS_EVERY, type Sample } from "../../schemas/routine.ts";
import { ChoiceField, NumberField, TextField } from "../parts/Fields.tsx";
import { IdField } from "../parts/IdField.tsx";
import { counted, hoursText, tidy } from "../parts/music.ts";
import { useActions } from "../state/actions.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { BringSound } from "./BringSound.tsx";
import {
  BUILT_IN_NAMES,
  changeSample,
  changeSound,
  degreesUntilRepeat,
  giveSampleId,
  removal,
  sampleName,
  toFirst,
  usesOf,
} from "./samples.ts";
import { soundOf } from "./soundFiles.ts";
import { SampleCues } from "./SampleCues.tsx";
import { SampleTrim } from "./SampleTrim.tsx";

/** What can be done with a sample as a whole: buttons, and in the list of actions. */
function useDeeds(sample: Sample, without: Edit | null, onGone: () => void) {
  const samples = samplesOf(opened.value?.routine.rig);
  const isFirst = samples[0]?.id === sample.id;
  const remove = (): void => {
    if (without === null) return;
    change(without, `Remove the sample ${sampleName(sample)}`);
    onGone();
  };
  useActions(
    "Samples",
    [
      {
        id: "sample-first",
        name: "Make this sample the first",
        keys: [],
        run: () => toFirst(sample),
        disabled: () => isFirst,
      },
      {
        id: "sample-remove",
        name: "Remove this sample",
        keys: [],
        run: remove,
        disabled: () => without === null,
      },
    ],
    [samples, sample],
  );
  return { isFirst, remove };
}

export function SampleFields(props: {
  sample: Sample;
  onGone: () => void;
  /** It has another id from now on. */
  onId: (to: string) => void;
}) {
  const { sample, onGone, onId } = props;
  const routine = opened.value?.routine;
  const without = routine === undefined ? null : removal(routine, sample.id);
  const { isFirst, remove } = useDeeds(sample, without, onGone);
  if (routine === undefined) return null;
  const name = sampleName(sample);
  const speed = platterSpeed(routine.rig);
  const every = degreesUntilRepeat(sample);
  const sound = sample.file === undefined ? null : soundOf(sample.file);
  const uses = usesOf(routine, sample.id);
  return (
    <div class="sample">
      <div class="line">
        <TextField
          key={`name ${sample.id}`}
          label="Name"
          maxLength={200}
          value={sample.name ?? ""}
          placeholder={name}
          read={(text) => text}
          takes=""
          onValue={(text) => changeSample(sample.id, { name: text || undefined }, `Rename ${name}`)}
        />
        <NumberField
          key={`repeats ${sample.id}`}
          label="Repeats after, degrees"
          min={0}
          max={1_000_000}
          step="any"
          value={every}
          onValue={(value) =>
            changeSample(
              sample.id,
              { repeatsEvery: value === DEFAULT_REPEATS_EVERY ? undefined : value },
              `Change when ${name} repeats`,
            )
          }
        />
        <span class="quiet">
          {every === 0
            ? "It does not repeat: silence before and after it."
            : `${hoursText(every)}, ${tidy(every / speed)} seconds of the platter.`}
        </span>
        <IdField
          id={sample.id}
          others={samplesOf(routine.rig)}
          onId={(to) => {
            giveSampleId(sample, to);
            onId(to);
          }}
        />
        <button
          type="button"
          class="plain"
          disabled={isFirst}
          title="What a phrase plays unless its place says another"
          onClick={() => toFirst(sample)}
        >
          Make it the first
        </button>
        <button
          type="button"
          class="plain"
          disabled={without === null}
          title={without === null ? "A routine needs one sample." : ""}
          onClick={remove}
        >
          Remove
        </button>
      </div>
      <p class="quiet">
        {uses === 0 ? "No phrase plays it yet." : `Played at ${counted(uses, "place")}.`}
        {uses > 0 && samplesOf(routine.rig).length > 1
          ? " Without it they play the first of the others. Undo brings it back."
          : ""}
      </p>
      <div class="line">
        <ChoiceField
          label="Sound"
          value={sample.builtIn ?? ""}
          options={[
            ...(sample.builtIn === undefined ? [["", sample.file ?? "not said"] as const] : []),
            ...BuiltInSample.options.map((one) => [one, BUILT_IN_NAMES[one]] as const),
          ]}
          onValue={(value) => {
            const builtIn = BuiltInSample.options.find((one) => one === value);
            if (builtIn !== undefined) changeSound(sample, { builtIn });
          }}
        />
        <BringSound
          words="Another sound for it"
          amongOthers
          onSound={({ file }) => changeSound(sample, { file })}
        />
      </div>
      {sample.file === undefined ? (
        <p>A built-in sound: it is made to last as long as its repeat, and 0 degrees is its start.</p>
      ) : typeof sound === "string" ? (
        <p class="trouble">{sound}</p>
      ) : sound === null ? (
        <p role="status" class="waiting">
          Fetching {sample.file} …
        </p>
      ) : (
        <SampleTrim sample={sample} sound={sound} name={name} speed={speed} every={every} />
      )}
      <SampleCues sample={sample} name={name} />
    </div>
  );
}
