/** Reading and writing files for the commands. Nothing is half-written: a file appears whole or not at all. */
import { randomBytes } from "node:crypto";
import { createReadStream } from "node:fs";
import { link, open, rename, rm } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { LARGEST_FILE, type Routine } from "../../schemas/routine.ts";
import { parseRoutine } from "../routine/parse.ts";
import { FileError, type Io, print, ROUTINE_HAS_ERRORS } from "./command.ts";

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: "it is not there",
  EISDIR: "it is a folder",
  EACCES: "this user may not",
  EPERM: "this user may not",
  ENOSPC: "the disk is full",
  EROFS: "the disk is read-only",
  ENOTDIR: "a part of its path is no folder",
  EEXIST: "it is there already",
};

export const reasonOf = (error: unknown): string => {
  const { code, message } = error as NodeJS.ErrnoException;
  return (code === undefined ? undefined : REASONS[code]) ?? message;
};

/** What is thrown where a file could not be written. */
export function unwritten(path: string, error: unknown): FileError {
  const gone = (error as NodeJS.ErrnoException).code === "ENOENT";
  const why = gone ? "its folder is not there; make it first" : reasonOf(error);
  return new FileError(`${path} could not be written: ${why}.`);
}

/**
 * The bytes of a file, or of standard input for "-".
 * @param enough where there are more bytes than this, some that follow may be left out @throws FileError
 */
export async function readBytes(
  file: string,
  io: Io,
  enough = Number.POSITIVE_INFINITY,
): Promise<Uint8Array> {
  const stream = file === "-" ? io.stdin : createReadStream(resolve(io.cwd, file));
  const chunks: Buffer[] = [];
  let size = 0;
  try {
    for await (const chunk of stream as AsyncIterable<Buffer | string>) {
      const bytes = typeof chunk === "string" ? Buffer.from(chunk) : chunk;
      size += bytes.length;
      chunks.push(bytes);
      if (size > enough) break;
    }
    return Buffer.concat(chunks);
  } catch (error) {
    throw new FileError(`${file} could not be read: ${reasonOf(error)}.`);
  }
}

/** The bytes of a routine file. One byte over the limit is enough for the parser to say that it is too large. */
export const readRoutineBytes = (file: string, io: Io): Promise<Uint8Array> =>
  readBytes(file, io, LARGEST_FILE);

/** The routine of a file, or the exit status after its problems were printed to standard error. */
export async function readRoutineFile(file: string, io: Io): Promise<Routine | number> {
  const { routine, problems } = parseRoutine(await readRoutineBytes(file, io));
  if (routine !== null) return routine;
  for (const { code, place, message } of problems)
    await print(io.stderr, `${place || "the file"}: ${code}: ${message}\n`);
  return ROUTINE_HAS_ERRORS;
}

/** Writes through a temporary file beside it. @throws FileError, and then nothing is left behind */
export async function writeWhole(
  path: string,
  content: string | Uint8Array,
  { mayReplace = true }: { readonly mayReplace?: boolean } = {},
): Promise<void> {
  const temporary = join(dirname(path), `.${basename(path)}.${randomBytes(6).toString("hex")}.part`);
  try {
    const handle = await open(temporary, "wx");
    try {
      await handle.writeFile(content);
      await handle.sync();
    } finally {
      await handle.close();
    }
    // A link fails where the file is there already; a rename would replace it.
    if (mayReplace) await rename(temporary, path);
    else {
      await link(temporary, path);
      await rm(temporary);
    }
  } catch (error) {
    await rm(temporary, { force: true });
    throw unwritten(path, error);
  }
}
