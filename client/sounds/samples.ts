/** The samples of the routine's rig, and the edits that change them. */
import type { Edit, SingleEdit } from "../../schemas/edit.ts";
import { samplesOf } from "../../schemas/rig.ts";
import { DEFAULT_REPEATS_EVERY, type Routine, type Sample } from "../../schemas/routine.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { taken, withRoutine } from "../state/turn.ts";
import { freshId } from "../parts/ids.ts";

export const BUILT_IN_NAMES: Readonly<Record<NonNullable<Sample["builtIn"]>, string>> = {
  vowel: "Gliding vowel",
  stab: "Brass-like stab",
  noise: "Burst of noise",
  tone: "Pure tone",
  syllable: "Spoken-like syllable",
};

export const sampleName = (sample: Sample): string =>
  sample.name ?? (sample.builtIn === undefined ? sample.id : BUILT_IN_NAMES[sample.builtIn]);

const setSamples = (samples: readonly Sample[]): SingleEdit => ({ kind: "change-rig", set: { samples } });

export function addSample(wanted: Omit<Sample, "id">): string | null {
  if (opened.value === null) return null;
  const name = sampleName({ id: "", ...wanted });
  const id = freshId(name, taken("sample"), "sample");
  withRoutine(({ rig }) =>
    change(setSamples([...samplesOf(rig), { id, ...wanted }]), `Add the sample ${name}`),
  );
  return id;
}

type Fields = { readonly [Key in keyof Sample]?: Sample[Key] | undefined };

/** @param set the fields, or what makes them of the sample as it is then; undefined takes a field away */
export function changeSample(id: string, set: Fields | ((sample: Sample) => Fields), words: string): void {
  withRoutine(({ rig }) => {
    const samples = samplesOf(rig).map((sample) => {
      if (sample.id !== id) return sample;
      const fields = typeof set === "function" ? set(sample) : set;
      const entries = Object.entries({ ...sample, ...fields }).filter(([, value]) => value !== undefined);
      return Object.fromEntries(entries) as Sample;
    });
    change(setSamples(samples), words);
  });
}

/** Seconds from where a sample starts to its cue, as the file holds them; its start is not said. */
export const cueAfter = (seconds: number): number | undefined =>
  Math.round(Math.max(0, seconds) * 10_000) / 10_000 || undefined;

/** A sample with another start or end in its sound of so many seconds; the cue keeps its place in the sound. */
export function trimmed(
  { trim, cue = 0 }: Sample,
  seconds: number,
  set: { readonly from?: number; readonly to?: number },
): Pick<Fields, "trim" | "cue"> {
  const { from = 0, to = seconds } = trim ?? {};
  const next = { from: set.from ?? from, to: set.to ?? Math.min(to, seconds) };
  const whole = next.from === 0 && next.to >= seconds - 1e-4;
  return {
    trim: whole ? undefined : next,
    cue: cueAfter(Math.min(next.to - next.from, from + cue - next.from)),
  };
}

/** What a phrase plays unless its place says another. */
export function toFirst(sample: Sample): void {
  withRoutine(({ rig }) => {
    const samples = samplesOf(rig);
    const first = samples.filter(({ id }) => id === sample.id);
    const others = samples.filter(({ id }) => id !== sample.id);
    change(setSamples([...first, ...others]), `Make ${sampleName(sample)} the first sample`);
  });
}

export function giveSampleId(sample: Sample, to: string): void {
  const words = `Give ${sampleName(sample)} the id ${to}`;
  change({ kind: "change-id", of: "sample", id: sample.id, to }, words);
}
export function renameCue(sample: Sample, id: string, to: string): void {
  const words = `Call the cue ${id} of ${sampleName(sample)} ${to}`;
  change({ kind: "change-cue-id", sample: sample.id, id, to }, words);
}
/** Another sound under the same name; what was trimmed and marked was of the one before. */
export function changeSound(sample: Sample, sound: Pick<Sample, "builtIn" | "file">): void {
  const none = { builtIn: undefined, file: undefined, trim: undefined, cue: undefined };
  changeSample(sample.id, { ...none, ...sound }, `Change the sound of ${sampleName(sample)}`);
}

export const usesOf = (routine: Routine, id: string): number => {
  const first = samplesOf(routine.rig)[0]?.id === id;
  return routine.sections
    .flatMap(({ placements }) => placements)
    .filter((one) => "pattern" in one && (one.sample === id || (first && one.sample === undefined))).length;
};

/**
 * Takes a sample out of the rig; what played it plays the first that is left. One edit.
 * @returns null where it is the only one
 */
export function removal(routine: Routine, id: string): Edit | null {
  const rest = samplesOf(routine.rig).filter((sample) => sample.id !== id);
  if (rest.length === 0) return null;
  const changes = routine.sections.flatMap((section) =>
    section.placements.flatMap((placement, index) => {
      if (!("pattern" in placement) || placement.sample !== id) return [];
      const { sample: _, recordAt, ...kept } = placement;
      // A named cue belonged to the sample that goes.
      const to = { ...kept, ...(typeof recordAt === "number" ? { recordAt } : {}) };
      return [{ placement: { section: section.id, index, expected: placement }, to }];
    }),
  );
  const edits: SingleEdit[] = [
    ...(changes.length === 0 ? [] : [{ kind: "change-placements", changes } as const]),
    setSamples(rest),
  ];
  return { kind: "batch", edits };
}

export const degreesUntilRepeat = (sample: Sample): number => sample.repeatsEvery ?? DEFAULT_REPEATS_EVERY;
