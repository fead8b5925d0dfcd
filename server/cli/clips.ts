/** `countercut clips`: the MIDI clips as a folder or a zip, whole or not at all. */

import { randomBytes } from "node:crypto";
import { existsSync } from "node:fs";
import { mkdir, rename, rm, writeFile } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { MOST_TICKS } from "../../schemas/mapping.ts";
import { type Clips, clipFiles } from "../clips/clipFiles.ts";
import { NoExactResolution } from "../clips/making.ts";
import { sectionTable } from "../clips/table.ts";
import { zipOfClips } from "../clips/zip.ts";
import { compile } from "../routine/compile.ts";
import {
  type Arguments,
  type Command,
  DONE,
  FileError,
  print,
  theFile,
  UsageError,
  wholeNumber,
} from "./command.ts";
import { readRoutineFile, unwritten, writeWhole } from "./files.ts";

/** The folder appears whole or not at all: it is filled beside its place, and then renamed. */
async function writeFolder(folder: string, files: readonly { name: string; bytes: Uint8Array | string }[]) {
  if (existsSync(folder)) {
    throw new FileError(`${folder} is there already. Name a folder that is not, or remove it first.`);
  }
  const filling = join(dirname(folder), `.${basename(folder)}.${randomBytes(6).toString("hex")}.part`);
  try {
    await mkdir(filling);
    for (const { name, bytes } of files) await writeFile(join(filling, name), bytes);
    await rename(filling, folder);
  } catch (error) {
    await rm(filling, { recursive: true, force: true });
    throw unwritten(folder, error);
  }
}

/** Undefined where it is not said: the routine's own is taken. */
const resolution = (args: Arguments): number | "exact" | undefined =>
  args.values.ppq === "exact" ? "exact" : wholeNumber(args, "ppq", 24, MOST_TICKS);

const said = ({ files, ppq, exact, leftOut }: Clips): string =>
  `${files.length} clips at ${ppq} ticks a quarter; ${exact ? "every event fell on a tick exactly" : "each event is at most half a tick off"}.${leftOut > 0 ? ` ${leftOut} notes were left out: they follow another of their key within two ticks.` : ""}\n`;

export const command: Command = {
  name: "clips",
  usage: "FILE --out FOLDER | --zip FILE.zip [--ppq N]",
  help: `
Writes the MIDI clips of a routine: for each section one a strand (sounds, record, fader, groups, beat), and the
whole routine as one file, with a table of sections (CSV). A folder or file appears whole or not at all.

  --out FOLDER    a folder that is not there yet
  --zip FILE.zip  one zip instead
  --ppq N         ticks a quarter note, 24 to 32767 in steps of 8; 960 unless the routine's mapping says otherwise.
                  "exact" is the smallest that puts every event on a tick

Channels, keys and controllers are those of the mapping that the routine uses.`,
  options: { out: { type: "string" }, zip: { type: "string" }, ppq: { type: "string" } },
  async run(args, io) {
    const { out, zip } = args.values;
    const file = theFile(args, "clips");
    if ((out === undefined) === (zip === undefined))
      throw new UsageError("clips needs either --out or --zip.");
    const ppq = resolution(args);
    if (typeof ppq === "number" && ppq % 8 !== 0) {
      throw new UsageError("--ppq takes a multiple of 8, so that every bar is a whole number of ticks.");
    }
    const routine = await readRoutineFile(file, io);
    if (typeof routine === "number") return routine;
    const performance = compile(routine);
    let clips: Clips;
    try {
      clips = clipFiles(routine, performance, ppq === undefined ? {} : { ppq });
    } catch (error) {
      if (error instanceof NoExactResolution) throw new UsageError(error.message);
      throw error;
    }
    if (typeof zip === "string")
      await writeWhole(resolve(io.cwd, zip), zipOfClips(routine, performance, clips));
    else {
      const table = { name: "sections.csv", bytes: sectionTable(routine, performance, clips.files) };
      await writeFolder(resolve(io.cwd, out as string), [...clips.files, table]);
    }
    await print(io.stderr, said(clips));
    return DONE;
  },
};
