/**
 * Keeps folders of clips fresh: for each routine at most one, chosen by the user and remembered in the folder of the
 * routines. After an edit it waits a moment, so that a run of edits is written once.
 */
import { z } from "zod";
import type { FolderState } from "../../schemas/answers.ts";
import { NoExactResolution } from "../clips/making.ts";
import { JobBroken } from "../jobs/jobs.ts";
import type { ClipStore } from "../live/clipStore.ts";
import type { OpenRoutine } from "../live/openRoutine.ts";
import { StoreError } from "../store/errors.ts";
import type { FileSystem } from "../store/fs.ts";
import type { Clock, Ids } from "../store/interfaces.ts";
import { fileOf } from "../store/names.ts";
import { saving } from "../store/unsaved.ts";
import { writeWhole } from "../store/whole.ts";
import { chooseFolder } from "./choose.ts";
import { type Refreshed, refresh } from "./refresh.ts";

const OFF: FolderState = {
  number: 1,
  path: null,
  state: "off",
  at: null,
  files: 0,
  written: 0,
  removed: 0,
  left: [],
  why: null,
};

/** Milliseconds after the last edit of a run. */
const REST = 150;
const CHOICES = ".clips-folders.json";
const Choices = z.strictObject({
  format: z.literal("countercut-clips-folders"),
  version: z.literal(1),
  /** Paths by the routine's name. */
  folders: z.record(z.string(), z.string()),
});

interface Kept {
  readonly routine: OpenRoutine;
  readonly stop: () => void;
  state: FolderState;
  working: boolean;
  again: boolean;
  /** Names that the user gave back to the program. */
  mine: Set<string>;
  cancel: () => void;
}

export interface KeeperParts {
  /** Real path of the folder of the routines. */
  readonly routines: string;
  readonly fs: FileSystem;
  readonly ids: Ids;
  readonly clock: Clock;
  readonly store: ClipStore;
}

export class FolderKeeper {
  readonly #c: KeeperParts;
  readonly #kept = new Map<string, Kept>();
  /** Who waits for news of a routine's folder, by the routine's name; also where none is chosen yet. */
  readonly #waiting = new Map<string, Set<() => void>>();
  /** Of the last state that was told; no two states of chosen folders have the same. */
  #number = OFF.number;
  #choices: Promise<Record<string, string>> | null = null;

  constructor(parts: KeeperParts) {
    this.#c = parts;
  }

  /** A routine was opened: its folder is kept from now on. */
  async opened(routine: OpenRoutine): Promise<void> {
    const path = (await this.#chosen())[routine.name];
    if (path !== undefined && !this.#kept.has(routine.name)) this.#keep(routine, path);
  }

  /** It is not open under this name any more. */
  gone(name: string): void {
    const kept = this.#kept.get(name);
    this.#kept.delete(name);
    if (kept === undefined) return;
    kept.stop();
    kept.cancel();
    this.#tellOf(name);
  }

  stateOf(name: string): FolderState {
    return this.#kept.get(name)?.state ?? OFF;
  }

  /** Resolves with the state when its number is another one, or after a while. */
  after(name: string, number: number, milliseconds: number): Promise<FolderState> {
    if (this.stateOf(name).number !== number) return Promise.resolve(this.stateOf(name));
    return new Promise((resolve) => {
      const waiting = this.#waiting.get(name) ?? new Set();
      this.#waiting.set(name, waiting);
      const tell = (): void => {
        cancel();
        waiting.delete(tell);
        if (waiting.size === 0) this.#waiting.delete(name);
        resolve(this.stateOf(name));
      };
      const cancel = this.#c.clock.after(milliseconds, tell);
      waiting.add(tell);
    });
  }

  /** @param path null: no folder any more; what was written stays. @throws StoreError where it cannot be remembered */
  async choose(
    routine: OpenRoutine,
    path: string | null,
  ): Promise<FolderState | { readonly problem: string }> {
    const { name } = routine;
    const choices = { ...(await this.#chosen()) };
    if (path === null) delete choices[name];
    else {
      const chosen = await chooseFolder(this.#c.fs, path, this.#c.routines);
      if ("problem" in chosen) return chosen;
      choices[name] = chosen.folder;
    }
    await this.#remember(choices);
    this.gone(name);
    const folder = choices[name];
    if (folder !== undefined) this.#keep(routine, folder);
    return this.stateOf(name);
  }

  /** Writes over a file that the user changed. */
  writeOver(name: string, file: string): void {
    const kept = this.#kept.get(name);
    if (kept?.state.left.includes(file) !== true) return;
    kept.mine.add(file);
    void this.#work(kept);
  }

  /** Looks again, where something was wrong. */
  tryAgain(name: string): void {
    const kept = this.#kept.get(name);
    if (kept !== undefined) void this.#work(kept);
  }

  close(): void {
    for (const name of [...this.#kept.keys()]) this.gone(name);
    for (const name of [...this.#waiting.keys()]) this.#tellOf(name);
  }

  #keep(routine: OpenRoutine, path: string): void {
    const soon = (): void => {
      kept.cancel();
      kept.cancel = this.#c.clock.after(REST, () => void this.#work(kept));
    };
    const kept: Kept = {
      routine,
      stop: routine.watch({ changed: soon, replaced: soon, saved: () => {} }),
      state: { ...OFF, number: ++this.#number, path, state: "writing" },
      working: false,
      again: false,
      mine: new Set(),
      cancel: () => {},
    };
    this.#kept.set(routine.name, kept);
    this.#tellOf(routine.name);
    soon();
  }

  #tell(kept: Kept, state: FolderState): void {
    kept.state = { ...state, number: ++this.#number };
    this.#tellOf(kept.routine.name);
  }

  #tellOf(name: string): void {
    for (const tell of [...(this.#waiting.get(name) ?? [])]) tell();
  }

  async #work(kept: Kept): Promise<void> {
    if (kept.working) {
      kept.again = true;
      return;
    }
    kept.working = true;
    do {
      kept.again = false;
      this.#tell(kept, { ...kept.state, state: "writing", why: null });
      const next = await this.#refreshed(kept);
      if (this.#kept.get(kept.routine.name) !== kept) return;
      this.#tell(kept, next);
    } while (kept.again);
    kept.working = false;
  }

  async #refreshed(kept: Kept): Promise<FolderState> {
    const { routine, state, mine } = kept;
    const path = state.path as string;
    const { errors } = routine.present.worked;
    if (errors.length > 0) {
      const count = errors.length === 1 ? "a problem" : `${errors.length} problems`;
      const why = `The routine has ${count}. The folder stays as it was until they are mended on the Routine screen.`;
      return { ...state, state: "waiting", why };
    }
    let done: Refreshed | { readonly problem: string };
    let files = 0;
    try {
      const { clips } = await this.#c.store.clipsOf(routine);
      const table = { name: "sections.csv", bytes: new TextEncoder().encode(clips.table) };
      const wanted = [...clips.files, table];
      files = wanted.length;
      const given = new Set(mine);
      done = await refresh(this.#c, path, `${this.#c.routines}/${fileOf(routine.name)}`, wanted, given);
      for (const name of given) mine.delete(name);
    } catch (error) {
      return { ...state, state: "trouble", why: whyNot(error, path) };
    }
    if ("problem" in done) return { ...state, state: "trouble", why: done.problem };
    const { written, removed, left } = done;
    return { ...state, state: "fresh", at: this.#c.clock.now(), files, written, removed, left, why: null };
  }

  /** What was chosen, by name; nothing where it cannot be read. */
  #chosen(): Promise<Record<string, string>> {
    this.#choices ??= this.#c.fs
      .read(`${this.#c.routines}/${CHOICES}`, 1 << 20)
      .then((bytes) => {
        if (bytes === null) return {};
        return Choices.parse(JSON.parse(new TextDecoder().decode(bytes))).folders;
      })
      .catch(() => ({}));
    return this.#choices;
  }

  /** @throws StoreError */
  async #remember(folders: Record<string, string>): Promise<void> {
    const text = JSON.stringify({ format: "countercut-clips-folders", version: 1, folders }, null, 2);
    await saving(() => writeWhole(this.#c, this.#c.routines, CHOICES, `${text}\n`, { mayReplace: true }));
    this.#choices = Promise.resolve(folders);
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: "It is not there any more. Make it again, or choose another.",
  ENOTDIR: "It is no folder any more. Choose another.",
  EACCES: "The program may not write there. Mend the folder's permissions, or choose another.",
  EPERM: "The program may not write there. Mend the folder's permissions, or choose another.",
  EROFS: "The disk can only be read. Choose another folder.",
  ENOSPC: "The disk is full. Make room, then try again.",
  EDQUOT: "The disk is full. Make room, then try again.",
};

function whyNot(error: unknown, path: string): string {
  const told = [NoExactResolution, StoreError, JobBroken];
  if (told.some((kind) => error instanceof kind)) return (error as Error).message;
  const code = (error as NodeJS.ErrnoException).code ?? "";
  const reason = REASONS[code];
  if (reason === undefined && code === "") throw error;
  return `The clips could not be written to ${path}. ${reason ?? `The disk said ${code}. Try again.`}`;
}
