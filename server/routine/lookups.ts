/** What the parts of a routine refer to by id, and what the rig says of them. */
import { samplesOf } from "../../schemas/rig.ts";
import {
  type Beat,
  DEFAULT_LIMITS,
  DEFAULT_REPEATS_EVERY,
  type Limits,
  type Pattern,
  type Rig,
  type Routine,
  type Sample,
} from "../../schemas/routine.ts";
import { Memory } from "../../schemas/memory.ts";

export const repeatsEvery = (sample: Sample): number => sample.repeatsEvery ?? DEFAULT_REPEATS_EVERY;

export const limitsOf = (rig: Rig | undefined): Limits => ({ ...DEFAULT_LIMITS, ...rig?.limits }) as Limits;

const maps = new Memory<readonly { readonly id: string }[], ReadonlyMap<string, unknown>>();

/** A list by id, remembered by the list's identity; the first of twins wins. */
function byId<Item extends { readonly id: string }>(list: readonly Item[]): ReadonlyMap<string, Item> {
  let map = maps.get(list) as ReadonlyMap<string, Item> | undefined;
  if (map === undefined) {
    map = new Map([...list].reverse().map((item) => [item.id, item]));
    maps.set(list, map);
  }
  return map;
}

export const patternsOf = (routine: Routine): ReadonlyMap<string, Pattern> => byId(routine.patterns);
export const beatsOf = (routine: Routine): ReadonlyMap<string, Beat> => byId(routine.beats);

/** The sample that a placement plays, the first of the rig unless said. */
export const sampleOf = (rig: Rig | undefined, id: string | undefined): Sample => {
  const samples = samplesOf(rig);
  return (samples.find((sample) => sample.id === id) ?? samples[0]) as Sample;
};

/** Names of the sound files that a routine plays, each once. */
export function soundsIn({ rig, beats }: Routine): string[] {
  const files = [
    ...(rig?.samples ?? []).map(({ file }) => file),
    ...beats.map(({ recorded }) => recorded?.file),
  ].filter((file) => file !== undefined);
  return [...new Set(files)].sort();
}
