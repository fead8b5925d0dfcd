/** `countercut sound`: renders a routine, or a section of it, as WAV. */

import { randomBytes } from "node:crypto";
import { type FileHandle, open, rename, rm } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { SAMPLE_RATE } from "../../schemas/sound.ts";
import { compile } from "../routine/compile.ts";
import { exportWav, PARTS, type Part, type WavExport } from "../sound/export.ts";
import { createMeter, type Meter } from "../sound/loudness.ts";
import { timelineOf } from "../time/timeline.ts";
import { type Arguments, type Command, DONE, type Io, print, theFile, UsageError } from "./command.ts";
import { readRoutineFile, unwritten } from "./files.ts";
import { theNamed } from "./named.ts";
import { readSounds } from "./sounds.ts";

function partOf({ values }: Arguments): Part {
  const { part = "mix" } = values;
  const found = PARTS.find((one) => one === part);
  if (found === undefined) throw new UsageError(`--part takes ${PARTS.join(", ")}, not "${String(part)}".`);
  return found;
}

/** Writes the pieces to a temporary file beside the target, which appears whole or not at all. */
async function writePieces(path: string, wav: WavExport, meter: Meter, io: Io): Promise<void> {
  const temporary = join(dirname(path), `.${basename(path)}.${randomBytes(6).toString("hex")}.part`);
  let stopped = false;
  const stop = (): void => {
    stopped = true;
  };
  process.once("SIGINT", stop).once("SIGTERM", stop);
  let handle: FileHandle | undefined;
  try {
    handle = await open(temporary, "wx");
    let written = 0;
    let told = 0;
    for (const piece of wav.pieces(meter)) {
      if (stopped) throw new Error("it was stopped");
      await handle.writeFile(piece);
      written += piece.length;
      const tenth = Math.floor((10 * written) / wav.size);
      if (tenth > told) await print(io.stderr, `${tenth}0 %\n`);
      told = tenth;
    }
    await handle.sync();
    await handle.close();
    await rename(temporary, path);
  } catch (error) {
    await handle?.close().catch(() => undefined);
    await rm(temporary, { force: true });
    throw unwritten(path, error);
  } finally {
    process.off("SIGINT", stop).off("SIGTERM", stop);
  }
}

const decibels = (value: number): string =>
  Number.isFinite(value) ? value.toFixed(1).replace("-", "−") : "−∞";

export const command: Command = {
  name: "sound",
  usage: `FILE --out FILE.wav [--section ID] [--part ${PARTS.join("|")}] [--no-surface]`,
  help: `
Renders a routine as WAV: stereo, 24 bits, 48 kHz, exactly as long as the music. Its markers name each section with
tempo and metre, and each bar. Progress and the loudness (ITU-R BS.1770) go to standard error.

  --out FILE.wav   where to write; a file that is there is replaced when the new one is whole
  --section ID     only that section (its id, or its name), from its first bar to its last
  --part PART      mix (records and beat), scratch, beat, or click (metronome and the groups of both hands)
  --no-surface     without the faint sound of the record's surface

Sounds of the user's own are read as WAV from the routine's .sounds folder.`,
  options: {
    out: { type: "string", short: "o" },
    section: { type: "string" },
    part: { type: "string" },
    "no-surface": { type: "boolean" },
  },
  async run(args, io) {
    const file = theFile(args, "sound");
    const part = partOf(args);
    const { out, section: given } = args.values;
    if (typeof out !== "string" || out === "" || out === "-") {
      throw new UsageError("sound needs --out with the name of the WAV file to write.");
    }
    const routine = await readRoutineFile(file, io);
    if (typeof routine === "number") return routine;
    const section = given === undefined ? undefined : theNamed("section", routine.sections, given).id;
    const performance = compile(routine);
    const timeline = timelineOf(routine.sections, performance.sections);
    const sounds = await readSounds(routine, file, io);
    const wav = exportWav(routine, performance, timeline, sounds, {
      part,
      surface: args.values["no-surface"] !== true,
      ...(section === undefined ? {} : { section }),
    });
    const meter = createMeter();
    await writePieces(resolve(io.cwd, out), wav, meter, io);
    await print(
      io.stderr,
      `${out}: ${(wav.frames / SAMPLE_RATE).toFixed(3)} s, ${decibels(meter.integrated())} LUFS, ` +
        `true peak ${decibels(meter.truePeak())} dBTP\n`,
    );
    return DONE;
  },
};
