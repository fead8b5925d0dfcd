/**
 * One routine on disk. The order of every step is what keeps it safe: an edit is acknowledged after its line in the
 * journal is flushed; the file is replaced after the journal says with which hash; a new journal takes the place of
 * the old one after the old one's edits are in the past for good. So at every moment file and journal on disk, in
 * whatever state a crash leaves them, lead back to all that was acknowledged.
 */
import { isDeepStrictEqual } from "node:util";
import { LARGEST_FILE } from "../../schemas/routine.ts";
import { keepAside } from "./aside.ts";
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import { historyOf } from "./history.ts";
import {
  type Clock,
  type EditRecord,
  type History,
  type Ids,
  type Moment,
  RECENT,
  type SaveState,
  type Stored,
} from "./interfaces.ts";
import { hashOf } from "./hash.ts";
import { encodeLine, type Head, type Line, toEntry } from "./journal.ts";
import { fileOf, freeName, journalOf, nameOfFile, pastOf } from "./names.ts";
import { keepPast } from "./past.ts";
import { asOutside, mustBeText, type OnDisk, readBoth, readFile } from "./recover.ts";
import { whyUnsaved } from "./unsaved.ts";
import { writeWhole } from "./whole.ts";
import { JournalWriter } from "./writer.ts";

export interface StoredOptions {
  readonly fs: FileSystem;
  readonly folder: string;
  readonly clock: Clock;
  readonly ids: Ids;
  /** Bytes of a journal, beyond four times its text, after which the next snapshot begins a new one. */
  readonly journalSize: number;
  /** Rewrite the journal on opening: the last flush failed, so nothing read back may be trusted to be on disk. */
  readonly distrust: boolean;
}

export class StoredRoutine implements Stored {
  readonly name: string;
  readonly start: Moment;
  readonly after: readonly EditRecord[];
  readonly before: readonly EditRecord[];
  readonly notices: readonly string[];
  readonly history: History;
  epoch: string;
  closed = false;
  readonly #o: StoredOptions;
  readonly #listeners = new Set<(state: SaveState) => void>();
  #state: SaveState = { is: "journalled" };
  #writer: JournalWriter | null = null;
  #base: Moment;
  /** The journal's edits, flushed. */
  #records: EditRecord[];
  /** Ids of the journal's edits, and of the last before it: a new journal carries RECENT of them on, and lets the rest go. */
  #recent: Map<string, number>;
  /** The last revision handed to the writer, flushed or not. */
  #appended: number;
  /** What our file has, and the revision that it is. */
  #file: { hash: string; rev: number };
  #snapshots: Promise<void> = Promise.resolve();

  private constructor(name: string, options: StoredOptions, disk: OnDisk, notices: string[]) {
    this.name = name;
    this.#o = options;
    this.notices = notices;
    const journal =
      disk.journal === null || typeof disk.journal.parsed === "string" ? null : disk.journal.parsed;
    if (journal === null) {
      const text = mustBeText(name, disk.file);
      this.epoch = options.ids();
      this.#base = { text, rev: 0 };
      this.#records = [];
      this.#recent = new Map();
      this.#file = { hash: hashOf(text), rev: 0 };
      this.start = this.#base;
    } else {
      this.epoch = journal.epoch;
      this.#base = journal.base;
      this.#records = [...journal.records];
      this.#recent = new Map(journal.recent);
      const known = disk.file === null ? undefined : journal.ours.get(disk.file.hash);
      if (known === undefined) {
        this.#file = { hash: "", rev: journal.base.rev };
        this.start = journal.base;
        this.#state = { is: "changed-outside", outside: asOutside(disk.file) };
      } else {
        this.#file = { hash: disk.file?.hash ?? "", rev: known };
        this.start = { text: disk.file?.text ?? "", rev: known };
      }
    }
    this.#appended = this.rev;
    this.before = this.#records.filter(({ rev }) => rev <= this.start.rev);
    this.after = this.#records.filter(({ rev }) => rev > this.start.rev);
    this.history = historyOf(options.fs, this.#past, () => ({ base: this.#base, records: this.#records }));
    this.#calm();
  }

  /** @throws StoreError `not-found`, `not-ours`, `too-large`; a disk that cannot be written makes it read-only */
  static async open(name: string, options: StoredOptions): Promise<StoredRoutine> {
    const { fs, folder } = options;
    const disk = await readBoth(fs, folder, name);
    if (disk.file === null) mustBeText(name, null);
    const notices: string[] = [];
    const stored = new StoredRoutine(name, options, disk, notices);
    try {
      const parsed = disk.journal?.parsed;
      const bytes = disk.journal?.bytes ?? new Uint8Array();
      if (typeof parsed === "string") {
        const aside = await keepAside(options, folder, journalOf(name), bytes);
        notices.push(
          `The journal of "${name}" cannot be read: ${parsed}. It is kept as ${aside}, and the routine is shown as its file has it. Run countercut doctor on the folder.`,
        );
        stored.#become({ is: "read-only", why: `The journal cannot be read: ${parsed}.` });
        return stored;
      }
      if (parsed === undefined) await stored.#begin(stored.#base, stored.#records, false);
      else if (parsed.torn > 0 || options.distrust) {
        if (parsed.torn > 0) {
          notices.push(
            `The last write to "${name}" was cut off before it was acknowledged; ${parsed.torn} bytes of it were dropped.`,
          );
        }
        const whole = bytes.subarray(0, parsed.whole);
        await writeWhole(options, folder, journalOf(name), whole, { mayReplace: true });
      } else await fs.syncFolder(folder);
      const handle = await fs.append(stored.#journal);
      // What a killed process wrote may not be flushed yet, and is about to be shown as saved.
      await handle.datasync();
      stored.#writer = new JournalWriter(
        handle,
        await handle.size(),
        (records) => stored.#durable(records),
        (error) => stored.#become({ is: "read-only", why: error.message }),
      );
    } catch (error) {
      stored.#become({ is: "read-only", why: whyUnsaved(error) });
    }
    return stored;
  }

  get rev(): number {
    return this.#base.rev + this.#records.length;
  }
  get recent(): ReadonlyMap<string, number> {
    return this.#recent;
  }
  get state(): SaveState {
    return this.#state;
  }
  get #journal(): string {
    return `${this.#o.folder}/${journalOf(this.name)}`;
  }
  get #past(): string {
    return `${this.#o.folder}/${pastOf(this.name)}`;
  }

  onState(listener: (state: SaveState) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  append(record: EditRecord): Promise<void> {
    if (this.#writer === null || this.#state.is === "read-only") return Promise.reject(this.#unsaved());
    if (record.rev !== this.#appended + 1) {
      throw new RangeError(`edit ${record.rev} does not follow edit ${this.#appended}`);
    }
    this.#appended = record.rev;
    return this.#writer.append(record);
  }

  snapshot(moment: Moment): Promise<void> {
    if (moment.rev > this.rev || moment.rev < this.#base.rev) {
      throw new RangeError(`revision ${moment.rev} is not between ${this.#base.rev} and ${this.rev}`);
    }
    this.#snapshots = this.#snapshots.then(() => this.#snapshot(moment));
    return this.#snapshots;
  }

  look(): Promise<SaveState> {
    // In turn with snapshots: between a file's renaming and our knowing of it, it would look like another's.
    const looked = this.#snapshots.then(async () => {
      if (this.#state.is === "read-only" || this.closed) return;
      // A file that cannot be read at the moment is told by the next snapshot, if it is still so.
      await this.#stillOurs().catch(() => undefined);
    });
    this.#snapshots = looked;
    return looked.then(() => this.#state);
  }

  choose(which: "ours" | "theirs", ours: Moment): Promise<{ present: Moment; copy: string | null }> {
    const writer = this.#writer;
    if (writer === null || this.#state.is === "read-only") return Promise.reject(this.#unsaved());
    const chosen = this.#snapshots.then(() => writer.hold(() => this.#choose(writer, which, ours)));
    this.#snapshots = chosen.then(
      () => undefined,
      () => undefined,
    );
    return chosen;
  }

  async close(present?: Moment): Promise<void> {
    this.closed = true;
    if (present !== undefined) await this.snapshot(present);
    await this.#snapshots;
    await this.#writer?.close();
  }

  async #choose(
    writer: JournalWriter,
    which: "ours" | "theirs",
    ours: Moment,
  ): Promise<{ present: Moment; copy: string | null }> {
    if (ours.rev !== this.rev) throw new RangeError(`revision ${ours.rev} is not the present ${this.rev}`);
    const { fs, folder } = this.#o;
    const theirs = await readFile(fs, folder, this.name);
    try {
      if (which === "theirs") {
        const text = mustBeText(this.name, theirs);
        const copy = await this.#copyBeside("before the change outside", Buffer.from(ours.text));
        await keepPast(this.#o, folder, this.#past, this.#base, this.#records);
        const present = { text, rev: ours.rev + 1 };
        this.epoch = this.#o.ids();
        await writer.replace(() => this.#begin(present, [], true), fs, this.#journal);
        this.#file = { hash: hashOf(text), rev: present.rev };
        this.#appended = present.rev;
        this.#settle();
        return { present, copy };
      }
      const bytes = theirs === null ? null : await fs.read(`${folder}/${fileOf(this.name)}`, LARGEST_FILE);
      const copy = bytes === null ? null : await this.#copyBeside("changed outside", bytes);
      await writer.line(this.#markOf(ours));
      await this.#writeFile(writer, ours);
      this.#settle();
      return { present: ours, copy };
    } catch (error) {
      if (error instanceof StoreError && error.code !== "read-only") throw error;
      throw writer.fail(error);
    }
  }

  async #snapshot(moment: Moment): Promise<void> {
    const writer = this.#writer;
    if (writer === null || this.#state.is === "read-only" || moment.rev < this.#file.rev) return;
    try {
      if (!(await this.#stillOurs())) return;
      if (moment.rev > this.#file.rev) {
        await writer.hold(() => writer.line(this.#markOf(moment)));
        await this.#writeFile(writer, moment);
      }
      if (writer.size > this.#o.journalSize + 4 * this.#base.text.length && moment.rev > this.#base.rev) {
        const split = moment.rev - this.#base.rev;
        // What led to the moment does not change any more: edits wait for the new journal alone.
        await keepPast(this.#o, this.#o.folder, this.#past, this.#base, this.#records.slice(0, split));
        await writer.hold(() => this.#beginNext(writer, moment, split));
      }
      this.#calm();
    } catch (error) {
      writer.fail(error);
    }
  }

  #markOf({ rev, text }: Moment): Line {
    return { mark: [rev, hashOf(text)] };
  }

  /** After the mark of `moment` is flushed. Edits may be written meanwhile: they come after it in any case. */
  async #writeFile(writer: JournalWriter, moment: Moment): Promise<void> {
    await writeWhole(this.#o, this.#o.folder, fileOf(this.name), moment.text, { mayReplace: true });
    this.#file = { hash: hashOf(moment.text), rev: moment.rev };
    writer.kept(moment.rev);
  }

  /** Only while edits are held, once what led to `moment` is in the past: the journal starts from there. */
  #beginNext(writer: JournalWriter, moment: Moment, split: number): Promise<void> {
    return writer.replace(
      () => this.#begin(moment, this.#records.slice(split), true),
      this.#o.fs,
      this.#journal,
    );
  }

  async #begin(base: Moment, records: EditRecord[], mayReplace: boolean): Promise<{ size: number }> {
    const recent = [...this.#recent].filter(([, rev]) => rev <= base.rev).slice(-RECENT);
    const head: Head = { journal: 1, epoch: this.epoch, base: base.rev, text: base.text, recent };
    const lines: (Head | Line)[] = records.length === 0 ? [head] : [head, { edits: records.map(toEntry) }];
    const bytes = Buffer.concat(lines.map(encodeLine));
    await writeWhole(this.#o, this.#o.folder, journalOf(this.name), bytes, { mayReplace });
    this.#base = base;
    this.#records = records;
    this.#recent = new Map([...recent, ...records.map(({ opId, rev }) => [opId, rev] as const)]);
    return { size: bytes.length };
  }

  /** Whether the file on disk has what we know; says so where it has not. @throws what the disk throws */
  async #stillOurs(): Promise<boolean> {
    const file = await readFile(this.#o.fs, this.#o.folder, this.name);
    const ours = file !== null && file.hash === this.#file.hash;
    if (ours) this.#settle();
    else if (this.#state.is !== "read-only")
      this.#become({ is: "changed-outside", outside: asOutside(file) });
    return ours;
  }

  async #copyBeside(words: string, bytes: Uint8Array): Promise<string> {
    const { fs, folder, clock } = this.#o;
    const taken = (await fs.list(folder)).flatMap(({ name }) => nameOfFile(name) ?? []);
    const day = new Date(clock.now()).toISOString().slice(0, 10);
    const copy = freeName(this.name, `${words} ${day}`, taken);
    await writeWhole(this.#o, folder, fileOf(copy), bytes);
    return copy;
  }

  #durable(records: readonly EditRecord[]): void {
    for (const record of records) {
      this.#records.push(record);
      this.#recent.set(record.opId, record.rev);
    }
    this.#calm();
  }

  /** The file on disk is ours. */
  #settle(): void {
    this.#become(this.#calmState());
  }

  /** After an edit or a snapshot, where nothing worse holds. */
  #calm(): void {
    if (this.#state.is !== "changed-outside") this.#become(this.#calmState());
  }

  #calmState(): SaveState {
    return { is: this.#file.rev === this.rev ? "saved" : "journalled" };
  }

  #become(state: SaveState): void {
    if (this.#state.is === "read-only" || isDeepStrictEqual(state, this.#state)) return;
    this.#state = state;
    for (const listener of this.#listeners) listener(state);
  }

  #unsaved(): StoreError {
    const { state } = this;
    return new StoreError("read-only", state.is === "read-only" ? state.why : "The routine is closed.");
  }
}
