/** A folder of routines, held by this process alone. */
import { randomBytes } from "node:crypto";
import { LARGEST_FILE } from "../../schemas/routine.ts";
import { binnedAt, binnedIn, fromBin, moveSides, toBin } from "./bin.ts";
import { disk, remoteNotice } from "./disk.ts";
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { Binned, Clock, Folder, Ids, Listed, Moment, Stored } from "./interfaces.ts";
import { LARGEST_SOUND } from "./largest.ts";
import { addLine, readLines } from "./lines.ts";
import { type Lock, lockFolder } from "./lock.ts";
import {
  checkName,
  fileOf,
  isTemporary,
  nameOfFile,
  nameOfJournal,
  practiceOf,
  soundsOf,
  SUFFIX,
  twinKey,
} from "./names.ts";
import { adoptOrphan } from "./orphans.ts";
import { StoredRoutine } from "./stored.ts";
import { lastingFolder, writeWhole } from "./whole.ts";
import { saving } from "./unsaved.ts";

export interface FolderOptions {
  readonly fs?: FileSystem;
  readonly clock?: Clock;
  readonly ids?: Ids;
  /** Null for none. */
  readonly lock?: ((realPath: string) => Promise<Lock>) | null;
  readonly journalSize?: number;
}

export const realClock: Clock = {
  now: Date.now,
  after(milliseconds, act) {
    const timer = setTimeout(act, milliseconds);
    return () => clearTimeout(timer);
  },
};

/** 128 bits. */
export const randomIds: Ids = () => randomBytes(16).toString("hex");

/** @throws StoreError `held` where another server has the folder; what the disk throws where it is not there */
export async function openFolder(path: string, options: FolderOptions = {}): Promise<Folder> {
  const {
    fs = disk,
    clock = realClock,
    ids = randomIds,
    lock: take = lockFolder,
    journalSize = 256 * 1024,
  } = options;
  const real = await fs.realPath(path);
  const lock = take === null ? null : await take(real);
  try {
    const notices = await tidy(fs, real);
    const remote = fs === disk ? await remoteNotice(real) : null;
    if (remote !== null) notices.push(remote);
    return new RoutineFolder(real, notices, { fs, clock, ids, journalSize }, lock);
  } catch (error) {
    await lock?.release();
    throw error;
  }
}

/** Removes what crashes left half-written. @returns sentences about what is not understood */
async function tidy(fs: FileSystem, path: string): Promise<string[]> {
  const notices: string[] = [];
  for (const { name, kind } of await fs.list(path)) {
    const half = isTemporary(name) ? `${path}/${name}` : null;
    if (half !== null && kind === "file") await fs.remove(half).catch(() => undefined);
    else if (half !== null && kind === "folder") await fs.removeFolder(half).catch(() => undefined);
    else if (name.endsWith(SUFFIX) && (kind !== "file" || nameOfFile(name) === null)) {
      const why = kind === "file" ? "its name is not safe on every system" : "it is no plain file";
      notices.push(`${JSON.stringify(name)} is left out: ${why}.`);
    }
  }
  return notices;
}

interface Context {
  readonly fs: FileSystem;
  readonly clock: Clock;
  readonly ids: Ids;
  readonly journalSize: number;
}

class RoutineFolder implements Folder {
  readonly path: string;
  readonly notices: readonly string[];
  readonly #c: Context;
  readonly #lock: Lock | null;
  readonly #open = new Map<string, Promise<StoredRoutine>>();
  /** Routines whose last flush failed since the folder was opened. */
  readonly #distrusted = new Set<string>();
  /** Changes of names go one after the other, so that two cannot take the same name. */
  #turn: Promise<unknown> = Promise.resolve();

  constructor(path: string, notices: readonly string[], context: Context, lock: Lock | null) {
    this.path = path;
    this.notices = notices;
    this.#c = context;
    this.#lock = lock;
  }

  async list(): Promise<readonly Listed[]> {
    const found: Listed[] = [];
    for (const entry of await this.#c.fs.list(this.path)) {
      const name = entry.kind === "file" ? nameOfFile(entry.name) : null;
      if (name === null) continue;
      const status = await this.#c.fs.status(this.#at(entry.name));
      if (status?.kind === "file") found.push({ name, size: status.size, modified: status.modified });
    }
    return found.sort((a, b) => (a.name < b.name ? -1 : 1));
  }

  open(name: string): Promise<Stored> {
    return this.#inTurn(async () => {
      checkName(name);
      const already = this.#open.get(name);
      if (already !== undefined) {
        const stored = await already;
        if (!stored.closed) return stored;
      }
      const opening = this.#openFresh(name);
      this.#open.set(name, opening);
      opening.catch(() => this.#open.delete(name));
      return opening;
    });
  }

  create(name: string, text: string): Promise<void> {
    return this.#inTurn(() => this.#write(name, Buffer.from(text)));
  }

  copy(name: string, to: string, present?: Moment): Promise<void> {
    return this.#inTurn(async () => {
      checkName(name);
      const bytes =
        present !== undefined
          ? Buffer.from(present.text)
          : await this.#c.fs.read(this.#at(fileOf(name)), LARGEST_FILE);
      if (bytes === null) throw notThere(name);
      await this.#mustBeFree(to);
      // The sounds first, so that the copy is never there without them.
      await this.#change(() => this.#copySounds(name, to));
      await this.#write(to, bytes);
    });
  }

  rename(name: string, to: string, present?: Moment): Promise<void> {
    return this.#inTurn(async () => {
      checkName(name);
      await this.#mustBeFree(to, name);
      await this.#closeForMove(name, present);
      // The file goes first: a journal that stays behind by a crash is found again by the file's hash.
      await this.#change(async () => {
        const { fs } = this.#c;
        if (twinKey(name) === twinKey(to)) await fs.rename(this.#at(fileOf(name)), this.#at(fileOf(to)));
        else await fs.renameNew(this.#at(fileOf(name)), this.#at(fileOf(to)));
        await fs.syncFolder(this.path);
        await moveSides(fs, this.path, name, this.path, to);
        await fs.syncFolder(this.path);
      });
    });
  }

  remove(name: string, present?: Moment): Promise<void> {
    return this.#inTurn(async () => {
      checkName(name);
      await this.#closeForMove(name, present);
      await this.#change(() => toBin(this.#c, this.path, name));
    });
  }

  binned(): Promise<readonly Binned[]> {
    return binnedIn(this.#c.fs, this.path);
  }

  bringBack(place: string): Promise<string> {
    return this.#inTurn(async () => {
      const { binned, to } = await binnedAt(this.#c.fs, this.path, place);
      await this.#change(() => fromBin(this.#c, this.path, binned, to));
      return to;
    });
  }

  async practice(name: string): Promise<readonly string[]> {
    checkName(name);
    return readLines(this.#c.fs, this.#at(practiceOf(name)));
  }

  addPractice(name: string, line: string): Promise<void> {
    return this.#inTurn(async () => {
      checkName(name);
      if ((await this.#c.fs.status(this.#at(fileOf(name))))?.kind !== "file") throw notThere(name);
      await addLine(this.#c.fs, this.path, practiceOf(name), line);
    });
  }

  announce(address: string): void {
    this.#lock?.announce(address);
  }

  async close(): Promise<void> {
    await this.#inTurn(async () => {
      for (const opening of this.#open.values()) await (await opening.catch(() => null))?.close();
      this.#open.clear();
      await this.#lock?.release();
    });
  }

  #at(file: string): string {
    return `${this.path}/${file}`;
  }

  #inTurn<T>(act: () => Promise<T>): Promise<T> {
    const result = this.#turn.then(act);
    this.#turn = result.catch(() => undefined);
    return result;
  }

  async #openFresh(name: string): Promise<StoredRoutine> {
    const { fs } = this.#c;
    await adoptOrphan(fs, this.path, name);
    const distrust = this.#distrusted.delete(name);
    const stored = await StoredRoutine.open(name, { ...this.#c, folder: this.path, distrust });
    if (stored.state.is === "read-only") this.#distrusted.add(name);
    stored.onState(({ is }) => {
      if (is === "read-only") this.#distrusted.add(name);
    });
    return stored;
  }

  /** @throws StoreError `bad-name`, `taken` */
  async #mustBeFree(name: string, except: string | null = null): Promise<void> {
    checkName(name);
    for (const { name: file } of await this.#c.fs.list(this.path)) {
      const other = file.endsWith(SUFFIX) ? file.slice(0, -SUFFIX.length) : nameOfJournal(file);
      if (other === null || other === except || twinKey(other) !== twinKey(name)) continue;
      const same = other === name ? "" : ", which some systems take for the same name";
      const what = file.endsWith(SUFFIX)
        ? "There is a routine"
        : "The folder holds the journal of a lost routine";
      throw new StoreError("taken", `${what} "${other}" already${same}. Choose another name.`);
    }
  }

  async #write(name: string, bytes: Uint8Array): Promise<void> {
    await this.#mustBeFree(name);
    await this.#change(() => writeWhole(this.#c, this.path, fileOf(name), bytes));
  }

  async #closeForMove(name: string, present: Moment | undefined): Promise<void> {
    const opening = this.#open.get(name);
    if (opening !== undefined) {
      const stored = await opening;
      await stored.close(present);
      this.#open.delete(name);
    }
    if ((await this.#c.fs.status(this.#at(fileOf(name))))?.kind !== "file") throw notThere(name);
  }

  async #copySounds(name: string, to: string): Promise<void> {
    const { fs } = this.#c;
    const from = this.#at(soundsOf(name));
    if ((await fs.status(from))?.kind !== "folder" || (await fs.status(this.#at(soundsOf(to)))) !== null)
      return;
    const into = await lastingFolder(fs, this.path, soundsOf(to));
    for (const { name: file, kind } of await fs.list(from)) {
      const bytes = kind === "file" ? await fs.read(`${from}/${file}`, LARGEST_SOUND) : null;
      if (bytes !== null) await writeWhole(this.#c, into, file, bytes);
    }
  }

  /** @throws StoreError for whatever the disk refuses */
  async #change(act: () => Promise<void>): Promise<void> {
    await saving(() =>
      act().catch((error: unknown) => {
        if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
        throw new StoreError("taken", "A file of that name is there already. Choose another name.");
      }),
    );
  }
}

const notThere = (name: string): StoreError =>
  new StoreError("not-found", `There is no routine "${name}" in this folder.`);
