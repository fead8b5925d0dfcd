/** `countercut doctor`: reads every routine and journal of a folder and says what it finds. */
import { resolve } from "node:path";
import type { z } from "zod";
import { PhrasesFile } from "../../schemas/phrases.ts";
import { PracticeEntry } from "../../schemas/practice.ts";
import { Recording } from "../../schemas/recording.ts";
import { bringForward } from "../live/journalledEdit.ts";
import { readForEditing } from "../live/worked.ts";
import { soundsIn } from "../routine/lookups.ts";
import { parseRoutine } from "../routine/parse.ts";
import { writeRoutine } from "../routine/write.ts";
import { readWav } from "../sound/wavread.ts";
import { disk } from "../store/disk.ts";
import { StoreError } from "../store/errors.ts";
import { examine, type Finding, type Meaning, MENDS, type Mend } from "../store/examine.ts";
import { randomIds } from "../store/folder.ts";
import { lockFolder } from "../store/lock.ts";
import { mend } from "../store/mend.ts";
import { PHRASES } from "../store/phrases.ts";
import { MAPPINGS, MappingsFile } from "../store/mappings.ts";
import { type Command, DONE, FileError, type Io, print, ROUTINE_HAS_ERRORS, UsageError } from "./command.ts";
import { reasonOf } from "./files.ts";

/** @returns a sentence, or null; and the value where there is one */
function shaped<Value>(schema: z.ZodType<Value>, text: string): { fault: string | null; value?: Value } {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return { fault: "it is no JSON." };
  }
  const read = schema.safeParse(json);
  if (read.success) return { fault: null, value: read.data };
  const [issue] = read.error.issues;
  return {
    fault: `${issue?.path.join("/") || "its shape"}: ${issue?.message ?? "it is not as it should be"}.`,
  };
}

const meaning: Meaning = {
  soundsIn(text) {
    const read = readForEditing(text);
    return "routine" in read ? soundsIn(read.routine) : [];
  },
  soundFault(bytes) {
    const read = readWav(bytes);
    if ("problem" in read) return read.problem;
    return read.wav.cut ? "it holds less sound than it declares." : null;
  },
  practiceFault: (line) => shaped(PracticeEntry, line).fault,
  recordingFault(text) {
    const { fault, value } = shaped(Recording, text);
    return { fault, sounds: value?.times === undefined };
  },
  single: new Map([
    [PHRASES, (text: string) => shaped(PhrasesFile, text).fault],
    [MAPPINGS, (text: string) => shaped(MappingsFile, text).fault],
  ]),
  faultOf(text) {
    const { problems } = parseRoutine(text);
    const [first] = problems;
    if (first === undefined) return null;
    return problems.length === 1
      ? first.message
      : `${first.message} (and ${problems.length - 1} more; see check)`;
  },
  replay(start, records) {
    if (records.length === 0) return start.text;
    const read = readForEditing(start.text);
    if ("problems" in read) throw new Error(read.problems[0]?.message ?? "the text is no routine.");
    return writeRoutine(records.reduce(bringForward, read.routine));
  },
};

const line = ({ name, severity, message, mend }: Finding): string =>
  `${severity === "wrong" ? "!" : " "} ${JSON.stringify(name)} ${message}${mend === null ? "" : ` To mend: --mend ${JSON.stringify(`${mend}:${name}`)}`}\n`;

function whatToMend(text: string): { what: Mend; name: string } {
  const at = text.indexOf(":");
  const what = MENDS.find((each) => each === text.slice(0, at));
  if (what === undefined) {
    throw new UsageError(`--mend takes ${MENDS.map((each) => `${each}:NAME`).join(", ")}, not "${text}".`);
  }
  return { what, name: text.slice(at + 1) };
}

async function mendOne(path: string, text: string, io: Io): Promise<void> {
  const { what, name } = whatToMend(text);
  const lock = await lockFolder(path);
  try {
    await print(
      io.stdout,
      `${await mend({ fs: disk, folder: path, ids: randomIds, meaning }, what, name)}\n`,
    );
  } finally {
    await lock.release();
  }
}

export const command: Command = {
  name: "doctor",
  usage: "FOLDER [--mend WHAT:NAME]",
  help: `
Reads every routine, its journal and its past, sounds, recordings and practice, the phrases and mappings of the
folder and its bin, and changes nothing. Lines that start with ! need attention; where
something can be mended the line says with which --mend. What is mended is kept as a copy first:
  torn:NAME     drops the last write to a journal, which was cut off and never acknowledged
  damaged:NAME  keeps the beginning of a journal, up to where it is damaged
  lost:NAME     writes a routine again whose file is gone and whose journal is there
  past:NAME     sets aside parts of the past that cannot be read
Exit status: 0 nothing is wrong; 1 something is; 2 used wrongly, or the folder cannot be read.`,
  options: { mend: { type: "string" } },

  async run({ positionals, values }, io) {
    const [folder, ...rest] = positionals;
    if (folder === undefined || rest.length > 0) throw new UsageError("doctor needs one FOLDER.");
    try {
      const path = await disk.realPath(resolve(io.cwd, folder));
      if (typeof values.mend === "string") await mendOne(path, values.mend, io);
      const findings = await examine(disk, path, meaning);
      for (const finding of findings) await print(io.stdout, line(finding));
      const wrong = findings.filter(({ severity }) => severity === "wrong").length;
      await print(io.stdout, wrong === 0 ? "Nothing is wrong.\n" : `${wrong} to look at.\n`);
      return wrong === 0 ? DONE : ROUTINE_HAS_ERRORS;
    } catch (error) {
      if (error instanceof UsageError) throw error;
      if (error instanceof StoreError) throw new FileError(error.message);
      throw new FileError(`${folder} could not be read: ${reasonOf(error)}.`);
    }
  },
};
