/** One sample: its name, what is used of its sound, where 0 degrees lies, when it repeats, and its named cues. */
import type { Edit } from "../../schemas/edit.ts";
import { platterSpeed, samplesOf } from "../../schemas/rig.ts";
import { BuiltInSample, DEFAULT_REPEATS_EVERY, type Sample } from "../../schemas/routine.ts";
import { ChoiceField, NumberField, TextField } from "../parts/Fields.tsx";
import { IdField } from "../parts/IdField.tsx";
import { counted, hoursText, tidy } from "../parts/music.ts";
import { useActions } from "../state/actions.ts";
import { change, opened } from "../state/store.ts";
import { freshId } from "../write/phraseList.ts";
import { BringSound } from "./BringSound.tsx";
import type { Sound } from "./decode.ts";
import {
  BUILT_IN_NAMES,
  changeSample,
  changeSound,
  cueAfter,
  degreesUntilRepeat,
  giveSampleId,
  removal,
  renameCue,
  sampleName,
  toFirst,
  trimmed,
  usesOf,
} from "./samples.ts";
import { soundOf } from "./soundFiles.ts";
import { type Mark, Waveform } from "./Waveform.tsx";

/** Seconds that are left between start and end at least. */
const SHORTEST = 0.01;

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
        {uses === 0 ? "No phrase plays it yet." : `Played by ${counted(uses, "placement")}.`}
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
        <Trimmed sample={sample} sound={sound} name={name} speed={speed} every={every} />
      )}
      <Cues sample={sample} name={name} />
    </div>
  );
}

function Trimmed(props: { sample: Sample; sound: Sound; name: string; speed: number; every: number }) {
  const { sample, sound, name, speed, every } = props;
  const from = sample.trim?.from ?? 0;
  const to = Math.min(sample.trim?.to ?? sound.seconds, sound.seconds);
  const cue = sample.cue ?? 0;
  const put = (set: { from?: number; to?: number }): void =>
    changeSample(sample.id, (now) => trimmed(now, sound.seconds, set), `Trim ${name}`);
  const round = every / speed;
  // Of a sound longer than its repeat, the round with the cue in it is on the record.
  const first = every === 0 ? from : from + Math.floor(cue / round) * round;
  const last = every === 0 ? to : Math.min(to, first + round);
  const marks: Mark[] = [
    {
      id: "from",
      name: "Start",
      at: from,
      least: 0,
      most: to - SHORTEST,
      put: (at) => put({ from: at }),
    },
    {
      id: "to",
      name: "End",
      at: to,
      least: from + SHORTEST,
      most: sound.seconds,
      put: (at) => put({ to: at }),
    },
    {
      id: "cue",
      name: "Cue: 0 degrees",
      at: from + cue,
      least: from,
      most: to,
      put: (at) =>
        changeSample(
          sample.id,
          ({ trim }) => ({ cue: cueAfter(at - (trim?.from ?? 0)) }),
          `Move the cue of ${name}`,
        ),
    },
  ];
  return (
    <>
      <Waveform
        sound={sound}
        name={name}
        used={{ from: first, to: last }}
        marks={marks}
        lines={every === 0 ? [] : [first, first + round].filter((at) => at > from && at < to)}
      />
      {every > 0 && to - from > round + 1e-3 && (
        <p class="quiet">
          The sound lasts {tidy(to - from)} seconds, longer than its repeat of {tidy(round)}: only the part
          that is not greyed is on the record. Set the repeat to 0, or to a greater number, to hear all of it.
        </p>
      )}
    </>
  );
}

function Cues(props: { sample: Sample; name: string }) {
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
          if (field.value.trim() === "") return;
          const id = freshId(field.value, new Set(cues.map((cue) => cue.id)));
          put((now) => [...now, { id, at: 0 }], `Add the cue ${id} to ${name}`);
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
