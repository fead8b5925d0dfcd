/** From a sample as the routine describes it to what its tables are built from. */
import { platterSpeed } from "../../schemas/rig.ts";
import type { Beat, Rig, Sample } from "../../schemas/routine.ts";
import { repeatsEvery } from "../routine/lookups.ts";
import { builtInSample } from "./samples.ts";
import { MOST_VALUES, type Pcm, type TableOptions, valuesOf } from "./tables.ts";

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

/** Values in the tables of a beat beyond which it is prepared for less speed: 256 MB. */
const MOST_BEAT_VALUES = MOST_VALUES / 2;
/** How much faster than it was recorded a beat can be heard without aliases: as much as there is room for. */
const BEAT_SPEEDS = [4, 3, 2, 1.5] as const;

/** Recorded beats start at their first beat. */
export function recordedBeatJob(beat: Beat, file: Pcm): TableJob {
  const { firstBeat = 0 } = beat.recorded ?? {};
  const frames = file.channels[0]?.length ?? 0;
  const fits = (fastest: number): boolean =>
    valuesOf(frames, Math.min(2, file.channels.length), fastest) <= MOST_BEAT_VALUES;
  const fastest = BEAT_SPEEDS.find(fits) ?? BEAT_SPEEDS.at(-1)!;
  return { pcm: file, options: { repeatSeconds: 0, cueSeconds: firstBeat, fastest } };
}

/** A copy of the seconds from `from` to `to`; to the end of the sound where that comes first. */
function part({ rate, channels }: Pcm, from: number, to: number): Pcm {
  const cut = channels.map((channel) => channel.slice(Math.round(from * rate), Math.round(to * rate)));
  return { rate, channels: cut };
}
