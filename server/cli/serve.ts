/** `countercut serve`: the program in the browser. */
import { spawn } from "node:child_process";
import { mkdir, readdir } from "node:fs/promises";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import { DEMO } from "../routine/demo.ts";
import { writeRoutine } from "../routine/write.ts";
import { StoreError } from "../store/errors.ts";
import { openFolder } from "../store/folder.ts";
import type { Folder } from "../store/interfaces.ts";
import { serve } from "../web/serve.ts";
import { openTokens, settingsFolder } from "../web/tokens.ts";
import { type Command, DONE, FileError, type Io, print, UsageError, wholeNumber } from "./command.ts";
import { reasonOf } from "./files.ts";

const DEFAULT_PORT = 4747;

export const command: Command = {
  name: "serve",
  usage: "[FOLDER] [--port N] [--open]",
  help: `
Starts the server on this machine alone, with the routines in FOLDER (${join("~", "Countercut")} unless given), and
prints a link that lets one browser in within a minute. A folder that is new begins with the demo routine. Ends with
Ctrl-C; all work is on disk then.

  --port N   the port, ${DEFAULT_PORT} unless given; 0 takes any that is free
  --open     opens the browser, where there is one`,
  options: { port: { type: "string" }, open: { type: "boolean" } },
  async run(args, io) {
    const [given, ...more] = args.positionals;
    if (more.length > 0) throw new UsageError(`serve takes one FOLDER, but got ${args.positionals.length}.`);
    const path = given === undefined ? join(homedir(), "Countercut") : resolve(io.cwd, given);
    const port = wholeNumber(args, "port", 0, 65_535) ?? DEFAULT_PORT;
    const folder = await openOrSay(path);
    const tokens = await openTokens({ settings: settingsFolder(io.env) });
    let running: Awaited<ReturnType<typeof serve>>;
    try {
      running = await serve({ folder, tokens, port });
    } catch (error) {
      await folder.close();
      if ((error as NodeJS.ErrnoException).code === "EADDRINUSE") {
        throw new FileError(`Port ${port} is taken by another program. Choose another: --port 0 takes any.`);
      }
      throw new FileError(`The server could not start: ${reasonOf(error)}.`);
    }
    for (const notice of folder.notices) await print(io.stderr, `${notice}\n`);
    const told = untilTold();
    const link = running.link();
    await print(io.stdout, `Countercut serves ${folder.path}\n${link}\n`);
    await print(io.stderr, "The link lets one browser in, within a minute. Ctrl-C here saves and ends.\n");
    if (args.values.open === true) openBrowser(link, io);
    void running.live.openLatest();
    await told;
    await print(io.stderr, "Saving, then ending.\n");
    await running.close();
    return DONE;
  },
};

/** The folder, with the demo routine where it is new. @throws FileError */
async function openOrSay(path: string): Promise<Folder> {
  let folder: Folder;
  try {
    const isNew =
      (await mkdir(path, { recursive: true })) !== undefined || (await readdir(path)).length === 0;
    folder = await openFolder(path);
    if (isNew) await withExample(folder);
  } catch (error) {
    // Held by another server: the sentence says by whom, and where it answers.
    if (error instanceof StoreError) throw new FileError(error.message);
    const { code } = error as NodeJS.ErrnoException;
    const why = code === "EEXIST" || code === "ENOTDIR" ? "it is no folder" : reasonOf(error);
    throw new FileError(`The folder ${path} cannot be used: ${why}.`);
  }
  return folder;
}

/** @throws StoreError where it cannot be written; the folder is given up then */
async function withExample(folder: Folder): Promise<void> {
  try {
    await folder.create(DEMO.title, writeRoutine(DEMO));
  } catch (error) {
    await folder.close();
    throw error;
  }
}

const OPENERS: Readonly<Partial<Record<NodeJS.Platform, readonly [string, ...string[]]>>> = {
  darwin: ["open"],
  win32: ["cmd", "/c", "start", ""],
};

/** Quietly nothing where there is no browser: the link is printed. */
function openBrowser(link: string, { env }: Io): void {
  const { platform } = process;
  const hasScreen = env.DISPLAY !== undefined || env.WAYLAND_DISPLAY !== undefined;
  if (platform !== "darwin" && platform !== "win32" && !hasScreen) return;
  const [program, ...before] = OPENERS[platform] ?? ["xdg-open"];
  const child = spawn(program, [...before, link], { stdio: "ignore", detached: true });
  child.on("error", () => {});
  child.unref();
}

const untilTold = (): Promise<void> =>
  new Promise((done) => {
    for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => done());
  });
