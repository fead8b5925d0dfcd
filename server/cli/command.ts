/** What every command shares. Results go to standard output, messages to standard error. */
import type { Readable, Writable } from "node:stream";
import type { ParseArgsConfig } from "node:util";

export interface Io {
  readonly stdin: Readable;
  readonly stdout: Writable;
  readonly stderr: Writable;
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
}

export interface Arguments {
  readonly positionals: readonly string[];
  readonly values: Readonly<Record<string, string | boolean | undefined>>;
}

export interface Command {
  readonly name: string;
  /** What follows the command's name: "FILE [--json]". */
  readonly usage: string;
  /** Paragraphs for `countercut NAME --help`. */
  readonly help: string;
  readonly options: NonNullable<ParseArgsConfig["options"]>;
  /** @returns the exit status. @throws UsageError, FileError */
  run(args: Arguments, io: Io): Promise<number>;
}

/** 0 done; 1 the routine has errors; 2 the command was used wrongly or a file could not be read. */
export const DONE = 0;
export const ROUTINE_HAS_ERRORS = 1;
export const USED_WRONGLY = 2;

/** The command was used wrongly; the message says how to use it. */
export class UsageError extends Error {}
/** A file could not be read or written; the message says which and why. */
export class FileError extends Error {}

/** Writes and waits until there is room, so that a slow reader holds up the writer and not the memory. */
export async function print(stream: Writable, text: string | Uint8Array): Promise<void> {
  if (!stream.write(text)) await new Promise((resolve) => stream.once("drain", resolve));
}

/** The only positional argument, a file. */
export function theFile({ positionals }: Arguments, command: string): string {
  const [file, ...rest] = positionals;
  if (file === undefined) throw new UsageError(`${command} needs a FILE; - is standard input.`);
  if (rest.length > 0) throw new UsageError(`${command} takes one FILE, but got ${positionals.length}.`);
  return file;
}

/** A whole number within bounds, or undefined where the option was not given. */
export function wholeNumber(
  { values }: Arguments,
  option: string,
  lowest: number,
  highest: number,
): number | undefined {
  const text = values[option];
  if (text === undefined) return undefined;
  const value = typeof text === "string" && /^-?\d+$/.test(text) ? Number(text) : Number.NaN;
  if (!(value >= lowest && value <= highest)) {
    throw new UsageError(
      `--${option} takes a whole number from ${lowest} to ${highest}, not "${String(text)}".`,
    );
  }
  return value;
}
