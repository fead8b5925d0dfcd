/** The real disk. */
import { constants } from "node:fs";
import * as node from "node:fs/promises";
import { StoreError } from "./errors.ts";
import type { Entry, FileSystem, Handle } from "./fs.ts";

const WINDOWS = process.platform === "win32";
/** A virus scanner or an indexer may hold a file for a moment on Windows. */
const RETRY_FOR = 2_000;
const BUSY = new Set(["EPERM", "EACCES", "EBUSY"]);

const codeOf = (error: unknown): string => (error as NodeJS.ErrnoException).code ?? "";

const kindOf = (thing: { isFile(): boolean; isDirectory(): boolean }): Entry["kind"] =>
  thing.isFile() ? "file" : thing.isDirectory() ? "folder" : "other";

class DiskHandle implements Handle {
  readonly #file: node.FileHandle;
  constructor(file: node.FileHandle) {
    this.#file = file;
  }
  async write(bytes: Uint8Array): Promise<void> {
    for (let at = 0; at < bytes.length; ) {
      const { bytesWritten } = await this.#file.write(bytes, at, bytes.length - at);
      // A disk may take fewer bytes than asked without an error; none at all would go on for ever.
      if (bytesWritten === 0) throw Object.assign(new Error("the disk takes no more"), { code: "ENOSPC" });
      at += bytesWritten;
    }
  }
  datasync(): Promise<void> {
    return this.#file.datasync();
  }
  sync(): Promise<void> {
    return this.#file.sync();
  }
  async size(): Promise<number> {
    return (await this.#file.stat()).size;
  }
  close(): Promise<void> {
    return this.#file.close();
  }
}

async function whileBusy(act: () => Promise<void>): Promise<void> {
  const until = performance.now() + RETRY_FOR;
  for (;;) {
    try {
      return await act();
    } catch (error) {
      if (!WINDOWS || !BUSY.has(codeOf(error)) || performance.now() > until) throw error;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  }
}

/** NOFOLLOW: a link is never followed out of the folder. NONBLOCK: opening a pipe does not wait for its writer. */
const READ = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);
const APPEND = constants.O_WRONLY | constants.O_APPEND | (constants.O_NOFOLLOW ?? 0);

export const disk: FileSystem = {
  realPath: (path) => node.realpath(path),

  async list(folder) {
    const entries = await node.readdir(folder, { withFileTypes: true });
    return entries.map((entry) => ({ name: entry.name, kind: kindOf(entry) }));
  },

  async status(path) {
    try {
      const found = await node.lstat(path);
      return { kind: kindOf(found), size: found.size, modified: found.mtimeMs };
    } catch (error) {
      if (codeOf(error) === "ENOENT") return null;
      throw error;
    }
  },

  async read(path, largest) {
    let file: node.FileHandle;
    try {
      file = await node.open(path, READ);
    } catch (error) {
      if (codeOf(error) === "ENOENT") return null;
      if (codeOf(error) === "ELOOP")
        throw new StoreError("not-ours", `${path} is a link; it is not followed.`);
      throw error;
    }
    try {
      const found = await file.stat();
      if (!found.isFile()) throw new StoreError("not-ours", `${path} is no plain file.`);
      if (found.size > largest) {
        throw new StoreError("too-large", `${path} has ${found.size} bytes; at most ${largest} are read.`);
      }
      const bytes = await file.readFile();
      if (bytes.length > largest) throw new StoreError("too-large", `${path} grew while it was read.`);
      return bytes;
    } finally {
      await file.close();
    }
  },

  create: async (path) => new DiskHandle(await node.open(path, "wx", 0o666)),
  append: async (path) => new DiskHandle(await node.open(path, APPEND)),
  rename: (from, to) => whileBusy(() => node.rename(from, to)),

  async renameNew(from, to) {
    try {
      // A link fails where something is there already; a rename would replace it.
      await node.link(from, to);
    } catch (error) {
      // Some disks (memory cards) know no links.
      if (!["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS", "EMLINK"].includes(codeOf(error))) throw error;
      if ((await disk.status(to)) !== null) {
        throw Object.assign(new Error(`${to} is there already`), { code: "EEXIST" });
      }
      return disk.rename(from, to);
    }
    await whileBusy(() => node.unlink(from));
  },

  remove: (path) => node.unlink(path),
  makeFolder: (path) => node.mkdir(path),
  removeFolder: (path) => node.rm(path, { recursive: true }),

  async syncFolder(path) {
    // Windows cannot flush a folder; after a loss of power a rename may be undone there.
    if (WINDOWS) return;
    const folder = await node.open(path, constants.O_RDONLY);
    try {
      await folder.sync();
    } finally {
      await folder.close();
    }
  },
};

/** File systems of other machines, by their number in Linux's `magic.h`. */
const REMOTE = new Set([0x6969, 0x517b, 0xfe534d42, 0xff534d42, 0x65735546, 0x01021997]);

/** A sentence where a flush to this folder's disk may mean little, else null. */
export async function remoteNotice(path: string): Promise<string | null> {
  const { type } = await node.statfs(path);
  return process.platform === "linux" && REMOTE.has(type >>> 0)
    ? `${path} is on a network or user-space disk: what is saved there may be lost in a crash of the machine. Keep routines on a local disk.`
    : null;
}
