/** A folder that keeps everything in memory and keeps the store's promises; its disk is as slow as it is told. */
import { StoreError } from "../../server/store/errors.ts";
import type { Clock, EditRecord, Folder, Moment, SaveState, Stored } from "../../server/store/interfaces.ts";

export interface MemoryDisk {
  /** Awaited before each append is durable. */
  delay: () => Promise<void>;
  /** Appends fail from now on, for this reason. */
  fails: string | null;
}

class MemoryStored implements Stored {
  name: string;
  epoch = "e1";
  /** The text that all records start from. */
  readonly first: Moment;
  start: Moment;
  after: EditRecord[] = [];
  before: EditRecord[] = [];
  notices: string[] = [];
  rev = 0;
  state: SaveState = { is: "saved" };
  file: Moment;
  readonly #disk: MemoryDisk;
  readonly #listeners = new Set<(state: SaveState) => void>();
  readonly records: EditRecord[] = [];
  #waits: Promise<void> = Promise.resolve();

  constructor(name: string, text: string, disk: MemoryDisk) {
    this.name = name;
    this.first = { text, rev: 0 };
    this.start = this.first;
    this.file = this.first;
    this.#disk = disk;
  }

  get recent(): ReadonlyMap<string, number> {
    return new Map([...this.before, ...this.after].map(({ opId, rev }) => [opId, rev]));
  }

  /** As after a start of the server: what was durable is there, some of it in the file already. */
  reopened(snapshot: boolean): MemoryStored {
    const next = new MemoryStored(this.name, this.first.text, this.#disk);
    next.records.push(...this.records);
    next.rev = this.rev;
    next.file = this.file;
    const from = snapshot ? this.file.rev : 0;
    next.start = snapshot ? this.file : this.first;
    next.before = this.records.filter(({ rev }) => rev <= from);
    next.after = this.records.filter(({ rev }) => rev > from);
    return next;
  }

  #to(state: SaveState): void {
    this.state = state;
    for (const listener of this.#listeners) listener(state);
  }
  onState(listener: (state: SaveState) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }
  append(record: EditRecord): Promise<void> {
    const kept = JSON.parse(JSON.stringify(record)) as EditRecord;
    const done = this.#waits.then(async () => {
      await this.#disk.delay();
      if (this.#disk.fails !== null) {
        if (this.state.is !== "read-only") this.#to({ is: "read-only", why: this.#disk.fails });
        throw new StoreError("read-only", this.#disk.fails);
      }
      if (kept.rev !== this.rev + 1) throw new RangeError(`${kept.rev} does not follow ${this.rev}`);
      this.records.push(kept);
      this.rev = kept.rev;
      if (this.state.is === "saved") this.#to({ is: "journalled" });
    });
    this.#waits = done.catch(() => {});
    return done;
  }
  async snapshot(moment: Moment): Promise<void> {
    this.file = moment;
    if (moment.rev === this.rev && this.state.is === "journalled") this.#to({ is: "saved" });
  }
  async look(): Promise<SaveState> {
    return this.state;
  }
  /** Another program writes. */
  outside(text: string): void {
    this.#to({ is: "changed-outside", outside: { text, gone: false } });
  }
  async choose(which: "ours" | "theirs", ours: Moment) {
    const { state } = this;
    if (state.is !== "changed-outside") throw new StoreError("not-found", "Nothing changed outside.");
    this.#to({ is: "saved" });
    if (which === "ours") return { present: ours, copy: "copy" };
    this.epoch = `${this.epoch}'`;
    this.start = { text: state.outside.text as string, rev: ours.rev + 1 };
    this.rev = ours.rev + 1;
    return { present: this.start, copy: "copy" };
  }
  readonly history = {
    stretches: async () => [],
    read: async () => ({ base: this.start, records: this.records }),
    moment: async (rev: number) => {
      if (rev > this.rev) throw new StoreError("not-found", "There is no such moment.");
      const records = this.records.filter((record) => record.rev <= rev);
      return { base: this.first, records };
    },
    list: async (before: number, limit: number) =>
      this.records
        .filter(({ rev }) => rev < before)
        .reverse()
        .slice(0, limit),
  };
  async close(present?: Moment): Promise<void> {
    if (present !== undefined) await this.snapshot(present);
  }
}

export class MemoryFolder implements Folder {
  readonly path = "memory";
  readonly notices = [];
  readonly files = new Map<string, MemoryStored>();
  readonly disk: MemoryDisk = { delay: async () => {}, fails: null };
  readonly inBin: string[] = [];

  async list() {
    return [...this.files].map(([name, { file }]) => ({ name, size: file.text.length, modified: 0 }));
  }
  async open(name: string): Promise<Stored> {
    const stored = this.files.get(name);
    if (stored === undefined) throw new StoreError("not-found", `There is no routine ${name}.`);
    return stored;
  }
  async create(name: string, text: string): Promise<void> {
    if (this.files.has(name)) throw new StoreError("taken", `There is a routine ${name} already.`);
    this.files.set(name, new MemoryStored(name, text, this.disk));
  }
  async copy(name: string, to: string, present?: Moment): Promise<void> {
    await this.create(to, present?.text ?? ((await this.open(name)) as MemoryStored).file.text);
  }
  async rename(name: string, to: string, present?: Moment): Promise<void> {
    await this.copy(name, to, present);
    this.files.delete(name);
  }
  async remove(name: string): Promise<void> {
    this.files.delete(name);
    this.inBin.push(name);
  }
  readonly practised = new Map<string, string[]>();
  async practice(name: string): Promise<readonly string[]> {
    return this.practised.get(name) ?? [];
  }
  async addPractice(name: string, line: string): Promise<void> {
    this.practised.set(name, [...(await this.practice(name)), line]);
  }
  async binned() {
    return [];
  }
  async bringBack(): Promise<string> {
    throw new StoreError("not-found", "Nothing lies in the bin.");
  }
  announce(): void {}
  async close(): Promise<void> {}

  /** The server ends without a word and is started again. */
  restart(snapshot: boolean): void {
    for (const [name, stored] of this.files) this.files.set(name, stored.reopened(snapshot));
  }
}

/** A clock that stands still until it is told. */
export class HandClock implements Clock {
  time = 1_700_000_000_000;
  #due: { at: number; act: () => void }[] = [];
  now(): number {
    return this.time;
  }
  after(milliseconds: number, act: () => void): () => void {
    const entry = { at: this.time + milliseconds, act };
    this.#due.push(entry);
    return () => {
      this.#due = this.#due.filter((one) => one !== entry);
    };
  }
  pass(milliseconds: number): void {
    const until = this.time + milliseconds;
    for (;;) {
      const next = this.#due.filter(({ at }) => at <= until).sort((a, b) => a.at - b.at)[0];
      if (next === undefined) break;
      this.#due = this.#due.filter((one) => one !== next);
      this.time = next.at;
      next.act();
    }
    this.time = until;
  }
}
