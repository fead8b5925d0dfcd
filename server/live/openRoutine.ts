/**
 * One open routine: its revision, its line of undo, and who watches it.
 *
 * An edit is applied to the HEAD at once, so that several can wait for the disk together; it becomes PRESENT, is told
 * and acknowledged once the journal has it. Pages and sound know only the present. Where the disk fails, the head
 * falls back to the present, and what waited is refused.
 */
import type { Edit } from "../../schemas/edit.ts";
import { patchBetween } from "../../schemas/patch.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Past } from "../../schemas/wire.ts";
import { applyEdit, bringsFault } from "../routine/edit.ts";
import { writeRoutine } from "../routine/write.ts";
import { StoreError } from "../store/errors.ts";
import type { Clock, Moment as Text, SaveState, Stored } from "../store/interfaces.ts";
import { bringForward, type Line, lineOf, type Ops, opsOf, walk } from "./records.ts";
import { createWorker, isWorked, readForEditing, type Worked } from "./worked.ts";

/** The routine at one revision. */
export interface Moment {
  readonly rev: number;
  readonly worked: Worked;
  readonly line: Line;
  /** Of the edit that led here; empty for the first. */
  readonly words: string;
  readonly opId: string;
  readonly at: number;
}

export type Answer =
  | { readonly is: "ack"; readonly rev: number; readonly words: string }
  | { readonly is: "stale"; readonly rev: number; readonly edits: readonly Past[] }
  | { readonly is: "refused"; readonly rev: number; readonly message: string };

export interface Watcher {
  /** `present` is another one. */
  changed(): void;
  saved(state: SaveState): void;
  /** Another text stands in its place; revisions do not follow from each other. */
  replaced(): void;
}

/** A routine file that cannot be edited; carries its problems. */
export class Unreadable extends Error {
  readonly problems;
  constructor(name: string, problems: Worked["errors"]) {
    super(`${name} cannot be opened: ${problems[0]?.message ?? "it is no routine."}`);
    this.problems = problems;
  }
}

/** Milliseconds of rest, and edits, after which the readable file is written. */
const REST = 2_000;
const MANY = 500;
/** Milliseconds between looks at whether the file changed outside. */
const LOOK = 2_000;
/** Moments at hand for pages that come back or lag. */
const KEPT = 500;

const readOrThrow = (name: string, text: string): Routine => {
  const read = readForEditing(text);
  if ("problems" in read) throw new Unreadable(name, read.problems);
  return read.routine;
};

export class OpenRoutine {
  readonly stored: Stored;
  readonly #clock: Clock;
  readonly #work = createWorker();
  readonly #watchers = new Set<Watcher>();
  readonly #moments = new Map<number, Moment>();
  readonly #recent: Map<string, number>;
  readonly #flying = new Map<string, Promise<Answer>>();
  #present: Moment;
  #head: Moment;
  #snapshotRev: number;
  #stopped = false;
  #cancelRest = (): void => {};
  #cancelLook = (): void => {};
  readonly #stopState: () => void;

  /** @throws Unreadable */
  constructor(stored: Stored, clock: Clock) {
    this.stored = stored;
    this.#clock = clock;
    this.#recent = new Map(stored.recent);
    this.#present = this.#opened();
    this.#head = this.#present;
    this.#snapshotRev = stored.state.is === "saved" ? stored.rev : -1;
    this.#stopState = stored.onState((state) => {
      for (const watcher of this.#watchers) watcher.saved(state);
    });
    if (stored.state.is === "journalled") this.#restSoon();
    this.#lookLater();
  }

  get name(): string {
    return this.stored.name;
  }
  get epoch(): string {
    return this.stored.epoch;
  }
  get present(): Moment {
    return this.#present;
  }
  get text(): Text {
    return { text: writeRoutine(this.#present.worked.routine), rev: this.#present.rev };
  }

  #opened(): Moment {
    const { start, after, before, name } = this.stored;
    const first = readOrThrow(name, start.text);
    const routine = after.reduce(bringForward, first);
    const last = after.at(-1) ?? before.at(-1);
    return {
      rev: this.stored.rev,
      worked: this.#mustWork(routine),
      line: lineOf(first, before, after),
      words: last === undefined ? "" : opsOf(last).words,
      opId: last?.opId ?? "",
      at: last?.at ?? this.#clock.now(),
    };
  }

  #mustWork(routine: Routine): Worked {
    const worked = this.#work(routine);
    if (!isWorked(worked)) throw new Unreadable(this.stored.name, worked.errors);
    return worked;
  }

  /** @returns a way to stop */
  watch(watcher: Watcher): () => void {
    this.#watchers.add(watcher);
    return () => this.#watchers.delete(watcher);
  }

  /** The moment of a revision, while it is at hand. */
  moment(rev: number): Moment | undefined {
    return rev === this.#present.rev ? this.#present : this.#moments.get(rev);
  }

  /** What an edit would make of the present; nothing is kept. */
  draft(edit: Edit): { readonly worked: Worked; readonly words: string } | { readonly refused: string } {
    return this.#tried(this.#present, edit);
  }

  #tried(on: Moment, edit: Edit) {
    const applied = applyEdit(on.worked.routine, edit);
    if ("refused" in applied) return applied;
    const worked = this.#work(applied.routine);
    if (!isWorked(worked)) return { refused: worked.errors[0].message };
    const fault = bringsFault(on.worked.errors, worked.errors);
    return fault === undefined ? { worked, words: applied.words } : { refused: fault.message };
  }

  /** @param replayed it was stale before: made on the newest revision, whichever that is */
  edit(opId: string, base: number, edit: Edit, replayed = false): Promise<Answer> {
    return this.#once(opId, replayed ? this.#head.rev : base, () => this.#make(opId, "edit", edit));
  }

  undo(opId: string, base: number): Promise<Answer> {
    return this.#once(opId, base, () => {
      const step = this.#head.line.done.at(-1);
      if (step === undefined) return this.#refuse("There is nothing to undo.");
      return this.#make(opId, "undo", { kind: "patch", patch: step.back }, `Undid: ${step.words}`);
    });
  }

  redo(opId: string, base: number): Promise<Answer> {
    return this.#once(opId, base, () => {
      const step = this.#head.line.undone.at(-1);
      if (step === undefined) return this.#refuse("There is nothing to do again.");
      return this.#make(opId, "redo", { kind: "patch", patch: step.forth }, `Did again: ${step.words}`);
    });
  }

  /** A moment of the past, brought back as a new edit. */
  async restore(opId: string, base: number, rev: number): Promise<Answer> {
    const { routine, at } = await this.past(rev);
    return this.#once(opId, base, () => {
      const patch = patchBetween(this.#head.worked.routine, routine);
      const when = new Date(at).toISOString().slice(0, 16).replace("T", " ");
      return this.#make(opId, "edit", { kind: "patch", patch }, `Brought back the routine of ${when}`);
    });
  }

  /** The routine as it was. @throws StoreError `not-found` */
  async past(rev: number): Promise<{ readonly routine: Routine; readonly at: number }> {
    const kept = this.moment(rev);
    if (kept !== undefined) return { routine: kept.worked.routine, at: kept.at };
    const { base, records } = await this.stored.history.moment(rev);
    const routine = records.reduce(bringForward, readOrThrow(this.name, base.text));
    return { routine, at: records.at(-1)?.at ?? 0 };
  }

  /** Everything about a routine that is not kept: a moment of the past. */
  work(routine: Routine): Worked {
    return this.#mustWork(routine);
  }

  /** The same opId gets the same answer, also while the first is on its way. */
  #once(opId: string, base: number, make: () => Promise<Answer>): Promise<Answer> {
    const flying = this.#flying.get(opId);
    if (flying !== undefined) return flying;
    const done = this.#recent.get(opId);
    if (done !== undefined) {
      return Promise.resolve({ is: "ack", rev: done, words: this.moment(done)?.words ?? "" });
    }
    const answer = base === this.#head.rev ? make() : this.#stale(base);
    this.#flying.set(opId, answer);
    const landed = (): unknown => this.#flying.delete(opId);
    answer.then(landed, landed);
    return answer;
  }

  /** Told only after what waits, so that the page knows the edits that came between. */
  async #stale(base: number): Promise<Answer> {
    await this.settled();
    const edits: Past[] = [];
    for (let rev = Math.max(base + 1, this.#present.rev - KEPT); rev <= this.#present.rev; rev++) {
      const moment = this.moment(rev);
      if (moment !== undefined && moment.words !== "")
        edits.push({ rev, at: moment.at, words: moment.words });
    }
    return { is: "stale", rev: this.#present.rev, edits };
  }

  async #refuse(message: string): Promise<Answer> {
    await this.settled();
    return { is: "refused", rev: this.#present.rev, message };
  }

  #make(opId: string, how: Ops["how"], edit: Edit, said?: string): Promise<Answer> {
    const on = this.#head;
    const { state } = this.stored;
    if (state.is === "read-only") return this.#refuse(`This cannot be saved: ${state.why}`);
    const tried = this.#tried(on, edit);
    if ("refused" in tried) return this.#refuse(tried.refused);
    const { worked } = tried;
    const words = said ?? tried.words;
    if (worked.routine === on.worked.routine) {
      // It is so already: nothing to keep.
      this.#recent.set(opId, on.rev);
      return this.settled().then(() => ({ is: "ack", rev: on.rev, words }));
    }
    const back = patchBetween(worked.routine, on.worked.routine);
    const forth = patchBetween(on.worked.routine, worked.routine);
    const at = this.#clock.now();
    const line = walk(on.line, how, { words, back, forth });
    const next: Moment = { rev: on.rev + 1, worked, line, words, opId, at };
    this.#head = next;
    return this.#append(next, { how, words, edit, back } as Ops);
  }

  #last: Promise<unknown> = Promise.resolve();

  /** Resolves once nothing waits for the disk. */
  async settled(): Promise<void> {
    await this.#last.catch(() => {});
  }

  #append(next: Moment, ops: Ops): Promise<Answer> {
    const { rev, opId, at } = next;
    const answer = this.stored.append({ rev, opId, at, ops }).then(
      (): Answer => {
        this.#moments.set(this.#present.rev, this.#present);
        this.#moments.delete(rev - KEPT);
        this.#present = next;
        this.#recent.set(opId, rev);
        for (const watcher of this.#watchers) watcher.changed();
        if (rev - this.#snapshotRev >= MANY) void this.snapshot();
        else this.#restSoon();
        return { is: "ack", rev, words: next.words };
      },
      (error: unknown): Answer => {
        this.#head = this.#present;
        if (!(error instanceof StoreError)) throw error;
        return { is: "refused", rev: this.#present.rev, message: error.message };
      },
    );
    this.#last = answer;
    return answer;
  }

  #restSoon(): void {
    this.#cancelRest();
    this.#cancelRest = this.#clock.after(REST, () => void this.snapshot());
  }

  /** Writes the readable file, where it lags. */
  async snapshot(): Promise<void> {
    this.#cancelRest();
    const { text } = this;
    if (text.rev === this.#snapshotRev) return;
    this.#snapshotRev = text.rev;
    await this.stored.snapshot(text);
  }

  #lookLater(): void {
    if (this.#stopped) return;
    this.#cancelLook = this.#clock.after(LOOK, () => {
      void this.stored.look().finally(() => this.#lookLater());
    });
  }

  /** Settles an outside change. @throws Unreadable where "theirs" is no routine, StoreError */
  async choose(which: "ours" | "theirs"): Promise<void> {
    const { state } = this.stored;
    if (which === "theirs" && state.is === "changed-outside") {
      const { text } = state.outside;
      if (text === null) throw new StoreError("not-found", "The file on disk cannot be read. Keep yours.");
      this.#mustWork(readOrThrow(this.name, text));
    }
    await this.settled();
    const { present } = await this.stored.choose(which, this.text);
    if (which === "ours") return;
    const worked = this.#mustWork(readOrThrow(this.name, present.text));
    const line = { done: [], undone: [] };
    this.#present = { rev: present.rev, worked, line, words: "", opId: "", at: this.#clock.now() };
    this.#head = this.#present;
    this.#snapshotRev = present.rev;
    this.#moments.clear();
    for (const watcher of this.#watchers) watcher.replaced();
  }

  /** No more edits; what waited is told. The store still has it open. */
  async stop(): Promise<Text> {
    this.#stopped = true;
    this.#cancelLook();
    await this.settled();
    // What was settled just now has asked for a snapshot; whoever closes the store writes the text itself.
    this.#cancelRest();
    this.#stopState();
    return this.text;
  }
}
