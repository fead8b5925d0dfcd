/**
 * One server a folder. Whoever holds the folder listens on a name made of the folder's real path, and tells whoever
 * asks who it is. On Linux the name is an abstract socket and on Windows a pipe: both go when the process ends, however
 * it ends, so that no lock is ever stale. Elsewhere (macOS) it is a file with the process's number, which is checked.
 */
import { createHash } from "node:crypto";
import { link, readFile, unlink, writeFile } from "node:fs/promises";
import { connect, createServer, type Server } from "node:net";
import { StoreError } from "./errors.ts";

export interface Lock {
  /** What to tell who asks next. */
  announce(address: string): void;
  release(): Promise<void>;
}

interface Holder {
  readonly pid: number;
  readonly address: string | null;
}

/** @throws StoreError `held`, with who holds it */
export async function lockFolder(realPath: string, platform: string = process.platform): Promise<Lock> {
  const name = `countercut-${createHash("sha256").update(realPath).digest("hex").slice(0, 32)}`;
  if (platform === "linux") return lockByName(`\0${name}`, realPath);
  if (platform === "win32") return lockByName(`\\\\.\\pipe\\${name}`, realPath);
  return lockByFile(`${realPath}/.countercut.lock`, realPath);
}

const held = (path: string, holder: Holder | null): StoreError => {
  const who = holder === null ? "Another server" : `Another server (process ${holder.pid})`;
  const where = holder?.address
    ? `. Open ${holder.address} in the browser that it let in, or end it first, with Ctrl-C where it runs.`
    : ". End it first, with Ctrl-C where it runs.";
  return new StoreError("held", `${who} holds the folder ${path}${where}`);
};

async function lockByName(name: string, path: string): Promise<Lock> {
  const holder: { pid: number; address: string | null } = { pid: process.pid, address: null };
  const server: Server = createServer((socket) => {
    socket.on("error", () => socket.destroy());
    socket.end(JSON.stringify(holder));
  });
  try {
    await new Promise<void>((resolve, reject) => {
      server.once("error", reject);
      server.listen(name, resolve);
    });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EADDRINUSE") throw error;
    throw held(path, await ask(name));
  }
  server.unref();
  return {
    announce: (address) => {
      holder.address = address;
    },
    release: () => new Promise((resolve) => server.close(() => resolve())),
  };
}

/** Who listens, or null where it does not say within a second. */
function ask(name: string): Promise<Holder | null> {
  return new Promise((resolve) => {
    let said = "";
    const socket = connect(name);
    const done = (): void => {
      socket.destroy();
      resolve(holderOf(said));
    };
    socket.setTimeout(1_000, done);
    socket.setEncoding("utf8");
    socket.on("data", (part: string) => {
      said += part;
      if (said.length > 4_096) done();
    });
    socket.on("end", done);
    socket.on("error", done);
  });
}

function holderOf(text: string): Holder | null {
  try {
    const { pid, address } = JSON.parse(text) as { pid?: unknown; address?: unknown };
    if (typeof pid !== "number" || !Number.isInteger(pid) || pid < 1) return null;
    return { pid, address: typeof address === "string" ? address.slice(0, 200) : null };
  } catch {
    return null;
  }
}

async function lockByFile(file: string, path: string): Promise<Lock> {
  const mine = `${file}.${process.pid}`;
  const holder: { pid: number; address: string | null } = { pid: process.pid, address: null };
  await writeFile(mine, JSON.stringify(holder));
  try {
    // A link appears with its content or not at all; an exclusive open would show an empty file for a moment.
    for (let attempt = 0; ; attempt++) {
      try {
        await link(mine, file);
        break;
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
        const other = holderOf(await readFile(file, "utf8").catch(() => ""));
        if (attempt > 0 || (other !== null && isAlive(other.pid))) throw held(path, other);
        await unlink(file).catch(() => undefined);
      }
    }
  } finally {
    await unlink(mine).catch(() => undefined);
  }
  return {
    announce: (address) => {
      holder.address = address;
      void writeFile(file, JSON.stringify(holder)).catch(() => undefined);
    },
    release: () => unlink(file).catch(() => undefined),
  };
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
