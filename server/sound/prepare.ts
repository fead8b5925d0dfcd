/** From a sample as the routine describes it to what its tables are built from. */
import type { Beat, Rig, Sample } from "../../schemas/routine.ts";
import { platterSpeed, repeatsEvery } from "../routine/lookups.ts";
import { builtInSample } from "./samples.ts";
import type { Pcm, TableOptions } from "./tables.ts";

export interface TableJob {
  readonly pcm: Pcm;
  readonly options: TableOptions;
}

/** A built-in sound, which takes a while to make: for the thread that builds its tables to make it too. */
export interface BuiltInJob {
  readonly sample: Sample;
  readonly rig: Rig | undefined;
}

/**
 * What to build a sample's tables from: a built-in sound, or the PCM of its file (null while there is none, which
 * gives null). The tables depend on the sample's own fields and on the rig's platter alone.
 */
export function sampleJob(sample: Sample, rig: Rig | undefined, file: Pcm | null): TableJob | null {
  const repeatSeconds = repeatsEvery(sample) / platterSpeed(rig);
  const pcm = sample.builtIn === undefined ? file : builtInSample(sample.builtIn, repeatSeconds);
  if (pcm === null) return null;
  const { trim, cue = 0 } = sample;
  return {
    pcm: trim === undefined ? pcm : part(pcm, trim.from, trim.to),
    options: { repeatSeconds, cueSeconds: cue },
  };
}

/** Recorded beats are played near their own speed: twice it is enough. They start at their first beat. */
export function recordedBeatJob(beat: Beat, file: Pcm): TableJob {
  const { firstBeat = 0 } = beat.recorded ?? {};
  return { pcm: file, options: { repeatSeconds: 0, cueSeconds: firstBeat, fastest: 1.5 } };
}

/** A copy of the seconds from `from` to `to`; to the end of the sound where that comes first. */
export function part({ rate, channels }: Pcm, from: number, to: number): Pcm {
  const cut = channels.map((channel) => channel.slice(Math.round(from * rate), Math.round(to * rate)));
  return { rate, channels: cut };
}
