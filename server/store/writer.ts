/**
 * Adds lines to a journal. Edits that wait while a flush is under way go out together with the next one. After a
 * failed write or flush the handle is never used again: what the disk then holds is unknown, and a second flush may
 * succeed without having written anything (Rebello et al. 2020, "Can Applications Recover from fsync Failures?").
 */
import { StoreError } from "./errors.ts";
import type { FileSystem, Handle } from "./fs.ts";
import type { EditRecord } from "./interfaces.ts";
import { encodeLine, type Line, toEntry } from "./journal.ts";
import { whyUnsaved } from "./unsaved.ts";

interface Waiting {
  readonly record: EditRecord;
  readonly resolve: () => void;
  readonly reject: (error: StoreError) => void;
}

export class JournalWriter {
  /** Bytes in the journal. */
  size: number;
  #handle: Handle | null;
  #waiting: Waiting[] = [];
  #turn: Promise<unknown> = Promise.resolve();
  #kept: number | undefined;
  #failed: StoreError | null = null;
  readonly #onDurable: (records: readonly EditRecord[]) => void;
  readonly #onFail: (error: StoreError) => void;

  constructor(
    handle: Handle,
    size: number,
    onDurable: (records: readonly EditRecord[]) => void,
    onFail: (error: StoreError) => void,
  ) {
    this.#handle = handle;
    this.size = size;
    this.#onDurable = onDurable;
    this.#onFail = onFail;
  }

  /** Resolves once the record is flushed. @throws StoreError `read-only` */
  append(record: EditRecord): Promise<void> {
    if (this.#failed !== null) return Promise.reject(this.#failed);
    return new Promise((resolve, reject) => {
      if (this.#waiting.push({ record, resolve, reject }) === 1) void this.hold(() => this.#flush());
    });
  }

  /** Runs `act` while no edit is being written; edits wait meanwhile. */
  hold<T>(act: () => Promise<T>): Promise<T> {
    const result = this.#turn.then(act);
    this.#turn = result.catch(() => undefined);
    return result;
  }

  /** Only inside `hold`. @throws StoreError */
  async line(content: Line): Promise<void> {
    if (this.#failed !== null) throw this.#failed;
    const handle = this.#handle as Handle;
    const bytes = encodeLine(this.#kept === undefined ? content : { kept: this.#kept, ...content });
    try {
      await handle.write(bytes);
      await handle.datasync();
    } catch (error) {
      throw this.fail(error);
    }
    this.#kept = undefined;
    this.size += bytes.length;
  }

  /** To be said with the next line: the routine file stands for good at this revision. Costs no flush of its own. */
  kept(rev: number): void {
    this.#kept = rev;
  }

  /** Only inside `hold`: puts a new journal in the place of the old one and goes on with it. @throws StoreError */
  async replace(
    write: () => Promise<{ readonly size: number }>,
    fs: FileSystem,
    path: string,
  ): Promise<void> {
    if (this.#failed !== null) throw this.#failed;
    try {
      const { size } = await write();
      const old = this.#handle as Handle;
      this.#handle = await fs.append(path);
      this.size = size;
      this.#kept = undefined;
      await old.close();
    } catch (error) {
      throw this.fail(error);
    }
  }

  /** Nothing is saved from now on. @returns why, in a sentence */
  fail(cause: unknown): StoreError {
    if (this.#failed !== null) return this.#failed;
    const failed = cause instanceof StoreError ? cause : new StoreError("read-only", whyUnsaved(cause));
    this.#failed = failed;
    // Closing writes nothing; its own failure adds nothing.
    void this.#handle?.close().catch(() => undefined);
    this.#handle = null;
    for (const { reject } of this.#waiting.splice(0)) reject(failed);
    this.#onFail(failed);
    return failed;
  }

  /** Says `kept` if it waits, and lets go of the file. */
  async close(): Promise<void> {
    await this.hold(async () => {
      if (this.#failed !== null) return;
      if (this.#kept !== undefined) await this.line({}).catch(() => undefined);
      const handle = this.#handle;
      this.#handle = null;
      this.#failed ??= new StoreError("read-only", "The routine is closed.");
      await handle?.close().catch(() => undefined);
    });
  }

  async #flush(): Promise<void> {
    const group = this.#waiting.splice(0);
    if (group.length === 0) return;
    const records = group.map(({ record }) => record);
    try {
      await this.line({ edits: records.map(toEntry) });
    } catch (error) {
      for (const { reject } of group) reject(error as StoreError);
      return;
    }
    this.#onDurable(records);
    for (const { resolve } of group) resolve();
  }
}
