/** The built program, served for a test on a fresh folder, with a link that lets a browser in. */
import { type ChildProcess, spawn } from "node:child_process";
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Routine } from "../../schemas/routine.ts";
import { type Installed, PROGRAM } from "../cli/run.ts";

export interface Served {
  /** With a one-time token. */
  readonly link: string;
  /** The routine as it stands on disk. */
  routine(name?: string): Promise<Routine>;
  readonly folder: string;
  /** Files of the folder. */
  names(): Promise<string[]>;
  /** The server's process stands still for so long, as on a machine that is busy with something else. */
  standStill(ms: number): Promise<void>;
  close(): Promise<void>;
}

export async function serveFresh(): Promise<Served> {
  const home = await mkdtemp(join(tmpdir(), "countercut-browser-"));
  const served = await serveFolder(join(home, "routines"), home);
  return {
    ...served,
    async close() {
      await served.close();
      await rm(home, { recursive: true, force: true });
    },
  };
}

/** @param files texts of routine files to begin with, by name; without any the program puts the demo there */
export async function serveFolder(
  folder: string,
  home: string,
  files: Readonly<Record<string, string>> = {},
  { node, program }: Installed = { node: process.execPath, program: PROGRAM },
): Promise<Served> {
  for (const [name, text] of Object.entries(files)) {
    await mkdir(folder, { recursive: true });
    await writeFile(join(folder, `${name}.routine.json`), text);
  }
  const child = spawn(node, [program, "serve", folder, "--port", "0"], {
    env: { ...process.env, XDG_CONFIG_HOME: join(home, "settings") },
  });
  const link = await linkOf(child);
  return {
    link,
    folder,
    names: () => readdir(folder),
    routine: async (name = "Night Ferry") =>
      JSON.parse(await readFile(join(folder, `${name}.routine.json`), "utf8")) as Routine,
    async standStill(ms) {
      child.kill("SIGSTOP");
      await new Promise((resolve) => setTimeout(resolve, ms));
      child.kill("SIGCONT");
    },
    async close() {
      if (child.exitCode !== null || child.signalCode !== null) return;
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill("SIGTERM");
      await ended;
    },
  };
}

function linkOf(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = "";
    child.stdout?.on("data", (data) => {
      said += String(data);
      const link = /http:\S+#t=\S+/.exec(said)?.[0];
      if (link !== undefined) resolve(link);
    });
    child.stderr?.on("data", (data) => {
      said += String(data);
    });
    child.once("exit", () => reject(new Error(`The server ended: ${said}`)));
  });
}
