/** Runs the built program as a shell would. */
import { spawn } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

export const PROGRAM = resolve(import.meta.dirname, "../../dist/server/cli/main.js");

export interface Ran {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

/** A Node and a program that it runs: the built one by the Node of the tests, unless said. */
export interface Installed {
  readonly node: string;
  readonly program: string;
}

/** @param input what it reads from standard input */
export function countercut(
  words: readonly string[],
  input: string | Uint8Array = "",
  cwd?: string,
  { node, program }: Installed = { node: process.execPath, program: PROGRAM },
): Promise<Ran> {
  return new Promise((done, failed) => {
    const child = spawn(node, [program, ...words], { cwd });
    const out: Buffer[] = [];
    const err: Buffer[] = [];
    child.stdout.on("data", (chunk: Buffer) => out.push(chunk));
    child.stderr.on("data", (chunk: Buffer) => err.push(chunk));
    child.on("error", failed);
    child.on("close", (status) =>
      done({ status, out: Buffer.concat(out).toString(), err: Buffer.concat(err).toString() }),
    );
    child.stdin.on("error", () => {});
    child.stdin.end(input);
  });
}

/** A new folder of its own for a test. */
export const scratchFolder = (): string => mkdtempSync(join(tmpdir(), "countercut-"));
