/** The sounds that a routine plays, read from its `.sounds` folder and made ready. */

import { basename, dirname, join, resolve } from "node:path";
import { samplesOf } from "../../schemas/rig.ts";
import { isWords, type Routine } from "../../schemas/routine.ts";
import { createClicks } from "../sound/clicks.ts";
import type { Sounds } from "../sound/inFrames.ts";
import { createKit } from "../sound/kit.ts";
import { recordedBeatJob, sampleJob, type TableJob } from "../sound/prepare.ts";
import { buildTables, type Pcm, type Tables } from "../sound/tables.ts";
import { readWav } from "../sound/wavread.ts";
import { SUFFIX } from "../store/names.ts";
import { FileError, type Io } from "./command.ts";
import { readBytes } from "./files.ts";

/** The folder of sounds beside a routine's file. */
export function folderOf(file: string, io: Io): string {
  const path = resolve(io.cwd, file);
  const name = basename(path);
  return join(dirname(path), `${name.endsWith(SUFFIX) ? name.slice(0, -SUFFIX.length) : name}.sounds`);
}

/**
 * Reads and prepares what the routine's placements and beats use.
 *
 * @throws FileError where a file cannot be read or is no sound
 */
export async function readSounds(routine: Routine, file: string, io: Io): Promise<Sounds> {
  const folder = file === "-" ? null : folderOf(file, io);
  const used = new Set(
    routine.sections.flatMap(({ placements }) =>
      placements.map((one) => (isWords(one) ? undefined : (one.sample ?? samplesOf(routine.rig)[0]?.id))),
    ),
  );
  const samples = new Map<string, Tables>();
  for (const sample of samplesOf(routine.rig)) {
    if (!used.has(sample.id)) continue;
    const pcm = sample.file === undefined ? null : await readSound(folder, sample.file, io);
    const job = sampleJob(sample, routine.rig, pcm);
    if (job !== null) samples.set(sample.id, build(job, `the sample "${sample.id}"`));
  }
  const beats = new Map<string, Tables>();
  for (const beat of routine.beats) {
    if (beat.recorded === undefined || !routine.sections.some((section) => section.beat === beat.id))
      continue;
    const pcm = await readSound(folder, beat.recorded.file, io);
    beats.set(beat.id, build(recordedBeatJob(beat, pcm), `the beat "${beat.id}"`));
  }
  return { samples, beats, kit: createKit(), clicks: createClicks(["bar", "beat", "record", "fader"]) };
}

async function readSound(folder: string | null, name: string, io: Io): Promise<Pcm> {
  if (folder === null) {
    throw new FileError(`The sound "${name}" lies beside the routine; give the routine as a file, not as -.`);
  }
  if (basename(name) !== name || name === "." || name === "..") {
    throw new FileError(`"${name}" is no name of a file in the folder ${folder}.`);
  }
  const path = join(folder, name);
  const result = readWav(await readBytes(path, io));
  if ("problem" in result) throw new FileError(`${path}: ${result.problem}`);
  return result.wav;
}

function build({ pcm, options }: TableJob, what: string): Tables {
  try {
    return buildTables(pcm, options);
  } catch (error) {
    if (error instanceof RangeError) throw new FileError(`${what}: ${error.message}`);
    throw error;
  }
}
