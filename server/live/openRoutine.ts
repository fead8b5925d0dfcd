/**
 * One open routine: its revision, its line of undo, and who watches it.
 *
 * An edit is checked and applied to the HEAD at once. Edits that arrive in one turn, or while the disk is busy with
 * those before, make a BATCH: what their last one leads to is worked out once, they go to the journal together, and then
 * that last one becomes PRESENT, is told, and all of them are acknowledged. Pages and sound know only the present. So the
 * more edits come, the less each costs. Where the disk fails, the head falls back to the present, and what waited is
 * refused.
 *
 * An edit that was made on an older revision is made on the head just the same, unless it touches what was touched since.
 */
import { isDeepStrictEqual } from "node:util";
import type { Edit } from "../../schemas/edit.ts";
import { patchBetween } from "../../schemas/patch.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Past } from "../../schemas/wire.ts";
import { checkRoutine } from "../routine/check.ts";
import { applyEdit, bringsFault } from "../routine/edit.ts";
import { writeRoutine } from "../routine/write.ts";
import { StoreError } from "../store/errors.ts";
import type { Clock, Moment as Text, SaveState, Stored } from "../store/interfaces.ts";
import { Batches } from "./batches.ts";
import { bringForward, type Ops, opsOf } from "./journalledEdit.ts";
import { touchedBy, Touches } from "./touches.ts";
import { DiskTurns } from "./diskTurns.ts";
import { type Made, Moment } from "./moment.ts";
import { RecentIds } from "./recentIds.ts";
import { AT_A_TIME, tooMuch } from "./tooMuch.ts";
import { EMPTY_LINE, lineOf, walk } from "./undo.ts";
import { createWorker, isWorked, readForEditing, type Worked } from "./worked.ts";

export type Answer =
  | { readonly is: "ack"; readonly rev: number; readonly words: string }
  | { readonly is: "stale"; readonly rev: number; readonly edits: readonly Past[] }
  | { readonly is: "refused"; readonly rev: number; readonly message: string };

export interface Watcher {
  /** It makes edits, each once the one before was answered. */
  readonly edits?: boolean;
  /** This will be the present if the disk keeps it: what must be ready then can be prepared. Nothing may be told. */
  coming?(moment: Moment): void;
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

/** An edit on its way to the disk. */
interface Waiting {
  readonly moment: Moment;
  readonly ops: Ops;
  readonly answer: (answer: Answer) => void;
  readonly fail: (error: unknown) => void;
}

const readOrThrow = (name: string, text: string): Routine => {
  const read = readForEditing(text);
  if ("problems" in read) throw new Unreadable(name, read.problems);
  return read.routine;
};

/** @throws Unreadable where it is too much for pages; with errors that is found out when it is worked out */
function errorsOf(name: string, routine: Routine): Worked["errors"] {
  const errors = checkRoutine(routine);
  const told = errors.length === 0 ? tooMuch(routine) : null;
  if (told !== null) throw new Unreadable(name, [told]);
  return errors;
}

export class OpenRoutine {
  readonly stored: Stored;
  readonly #clock: Clock;
  readonly #turns: DiskTurns;
  readonly #batches: Batches<Waiting>;
  readonly #work = createWorker();
  readonly #watchers = new Set<Watcher>();
  readonly #moments = new Map<number, Moment>();
  readonly #recent: RecentIds;
  readonly #flying = new Map<string, Promise<Answer>>();
  #present: Moment;
  #head: Moment;
  readonly #touches = new Touches(KEPT);
  #snapshotRev: number;
  #stopped = false;
  #cancelRest = (): void => {};
  #cancelLook = (): void => {};
  readonly #stopState: () => void;

  /** @throws Unreadable */
  constructor(stored: Stored, clock: Clock, turns = new DiskTurns()) {
    this.stored = stored;
    this.#clock = clock;
    this.#turns = turns;
    this.#batches = new Batches(turns, (batch) => this.#commit(batch));
    this.#recent = new RecentIds(stored.recent);
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
    return { text: writeRoutine(this.#present.routine), rev: this.#present.rev };
  }

  #opened(): Moment {
    const { start, after, before, name } = this.stored;
    const first = readOrThrow(name, start.text);
    const routine = after.reduce(bringForward, first);
    const last = after.at(-1) ?? before.at(-1);
    const errors = errorsOf(name, routine);
    return this.#moment(errors.length === 0 ? { routine, errors } : this.#mustWork(routine, errors), {
      rev: this.stored.rev,
      line: lineOf(first, before, after),
      words: last === undefined ? "" : opsOf(last).words,
      opId: last?.opId ?? "",
      at: last?.at ?? this.#clock.now(),
    });
  }

  /** @param result what is worked out, or as much as is known without: a routine without errors can be worked out */
  #moment(result: Worked | Pick<Worked, "routine" | "errors">, made: Made): Moment {
    const { routine, errors } = result;
    return new Moment(result, made, () => this.#mustWork(routine, errors));
  }

  #mustWork(routine: Routine, errors?: Worked["errors"]): Worked {
    const worked = this.#work(routine, errors);
    if (!isWorked(worked)) throw new Unreadable(this.stored.name, worked.errors);
    return worked;
  }

  #workText(text: string): Worked {
    const routine = readOrThrow(this.name, text);
    return this.#mustWork(routine, errorsOf(this.name, routine));
  }

  /** @returns a way to stop */
  watch(watcher: Watcher): () => void {
    this.#watchers.add(watcher);
    return () => this.#watchers.delete(watcher);
  }

  get #editors(): number {
    let count = 0;
    for (const { edits } of this.#watchers) if (edits === true) count++;
    return count;
  }

  /** The moment of a revision, while it is at hand. */
  moment(rev: number): Moment | undefined {
    return rev === this.#present.rev ? this.#present : this.#moments.get(rev);
  }

  /**
   * The present as if it ended after `count` sections; null where all of it is worked out, or it has errors, which
   * must be known whole. Told from all of it, sections that nothing later reaches into are the same objects.
   */
  beginning(count: number): Worked | null {
    const { routine, errors, isWorked } = this.#present;
    if (isWorked || errors.length > 0 || routine.sections.length <= count) return null;
    return this.#mustWork({ ...routine, sections: routine.sections.slice(0, count) }, errors);
  }

  /** Works all of the present out, a little at a time. @param rest lets others go first */
  async workOut(rest: () => Promise<void>): Promise<void> {
    for (let count = AT_A_TIME; this.beginning(count) !== null; count += AT_A_TIME) await rest();
    void this.#present.worked;
  }

  /** What an edit would make of the present; nothing is kept. */
  draft(edit: Edit): { readonly worked: Worked; readonly words: string } | { readonly refused: string } {
    const tried = this.#tried(this.#present, edit);
    if ("refused" in tried) return tried;
    const { result, words } = tried;
    return { worked: isWorked(result) ? result : this.#mustWork(result.routine, result.errors), words };
  }

  /** Where there is no error, nothing needs to be worked out to know that the edit can be made. */
  #tried(on: Moment, edit: Edit) {
    const applied = applyEdit(on.routine, edit);
    if ("refused" in applied) return applied;
    const { routine, words } = applied;
    const errors = routine === on.routine ? on.errors : checkRoutine(routine);
    if (errors.length === 0) {
      const told = tooMuch(routine, on.errors.length === 0 ? on.routine : null);
      return told === null ? { result: { routine, errors }, words } : { refused: told.message };
    }
    const fault = bringsFault(on.errors, errors);
    if (fault !== undefined) return { refused: fault.message };
    const result = this.#work(routine, errors);
    return isWorked(result) ? { result, words } : { refused: result.errors[0].message };
  }

  /**
   * @param base the revision that it was made on: stale where what it touches was touched since, or it cannot be made now
   * @param replayed it was stale before, and is made on the newest revision, whichever that is
   */
  edit(opId: string, base: number, edit: Edit, replayed = false): Promise<Answer> {
    return this.#once(opId, () => this.#make(opId, "edit", edit, { base: replayed ? this.#head.rev : base }));
  }

  undo(opId: string, base: number): Promise<Answer> {
    return this.#once(opId, () => {
      if (base !== this.#head.rev) return this.#stale(base);
      const step = this.#head.line.done?.step;
      if (step === undefined) return this.#refuse("There is nothing to undo.");
      return this.#make(opId, "undo", { kind: "patch", patch: step.back }, { words: `Undid: ${step.words}` });
    });
  }

  redo(opId: string, base: number): Promise<Answer> {
    return this.#once(opId, () => {
      if (base !== this.#head.rev) return this.#stale(base);
      const step = this.#head.line.undone?.step;
      if (step === undefined) return this.#refuse("There is nothing to do again.");
      return this.#make(
        opId,
        "redo",
        { kind: "patch", patch: step.forth },
        { words: `Did again: ${step.words}` },
      );
    });
  }

  /** A moment of the past, brought back as a new edit. */
  async restore(opId: string, base: number, rev: number): Promise<Answer> {
    const { routine, at } = await this.past(rev);
    return this.#once(opId, () => {
      if (base !== this.#head.rev) return this.#stale(base);
      const patch = patchBetween(this.#head.routine, routine);
      const when = new Date(at).toISOString().slice(0, 16).replace("T", " ");
      return this.#make(
        opId,
        "edit",
        { kind: "patch", patch },
        { words: `Brought back the routine of ${when}` },
      );
    });
  }

  /** The routine as it was. @throws StoreError `not-found` */
  async past(rev: number): Promise<{ readonly routine: Routine; readonly at: number }> {
    const kept = this.moment(rev);
    if (kept !== undefined) return { routine: kept.routine, at: kept.at };
    const { base, records } = await this.stored.history.moment(rev);
    const routine = records.reduce(bringForward, readOrThrow(this.name, base.text));
    return { routine, at: records.at(-1)?.at ?? 0 };
  }

  /** Everything about a routine that is not kept: a moment of the past. */
  work(routine: Routine): Worked {
    return this.#mustWork(routine);
  }

  /** The same opId gets the same answer, also while the first is on its way. */
  #once(opId: string, make: () => Promise<Answer>): Promise<Answer> {
    const flying = this.#flying.get(opId);
    if (flying !== undefined) return flying;
    const done = this.#recent.get(opId);
    if (done !== undefined) {
      return Promise.resolve({ is: "ack", rev: done, words: this.moment(done)?.words ?? "" });
    }
    const answer = make();
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

  /** @param words the edit's own where they are left out; @param base the head where it is left out */
  #make(
    opId: string,
    how: Ops["how"],
    edit: Edit,
    { words: said, base = this.#head.rev }: { readonly words?: string; readonly base?: number },
  ): Promise<Answer> {
    const on = this.#head;
    const { state } = this.stored;
    if (state.is === "read-only") return this.#refuse(state.why);
    const tried = this.#tried(on, edit);
    if ("refused" in tried) return base === on.rev ? this.#refuse(tried.refused) : this.#stale(base);
    const { result } = tried;
    const back = patchBetween(result.routine, on.routine);
    const forth = patchBetween(on.routine, result.routine);
    const touched = touchedBy(forth, back);
    if (this.#touches.meet(touched, base, on.rev)) return this.#stale(base);
    const words = said ?? tried.words;
    // Undo and redo walk along the line in any case: what stands there from before may have changed nothing.
    const same = result.routine === on.routine || (how === "edit" && isDeepStrictEqual(forth, back));
    if (same) return this.#soAlready(opId, on, words);
    const line = walk(on.line, how, { words, back, forth });
    const moment = this.#moment(result, { rev: on.rev + 1, line, words, opId, at: this.#clock.now() });
    this.#touches.add(moment.rev, touched);
    this.#head = moment;
    return new Promise((answer, fail) => {
      this.#batches.add({ moment, ops: { how, words, edit, back } as Ops, answer, fail }, this.#editors);
    });
  }

  /** Nothing to keep; but what it was made on must be. */
  async #soAlready(opId: string, { rev }: Moment, words: string): Promise<Answer> {
    await this.settled();
    const { state } = this.stored;
    if (this.#present.rev < rev)
      return this.#refuse(state.is === "read-only" ? state.why : "What it was made on was lost. Try again.");
    this.#recent.set(opId, rev);
    return { is: "ack", rev, words };
  }

  /** Resolves once nothing waits for the disk. */
  settled(): Promise<void> {
    return this.#batches.settled();
  }

  async #commit(batch: readonly Waiting[]): Promise<void> {
    try {
      // Before anything is kept: what cannot be worked out, because of a bug, would keep the routine from opening.
      void batch.at(-1)?.moment.worked;
    } catch (bug) {
      this.#head = this.#present;
      for (const { fail } of batch) fail(bug);
      return;
    }
    const writing = Promise.allSettled(
      batch.map(async ({ moment: { rev, opId, at }, ops }) => this.stored.append({ rev, opId, at, ops })),
    );
    const last = batch.at(-1);
    // The write has begun by then: while the disk is busy, what will be told is put into words.
    if (last !== undefined) setImmediate(() => this.#coming(last.moment));
    const kept = await writing;
    const lost = kept.findIndex(({ status }) => status === "rejected");
    const safe = lost === -1 ? batch : batch.slice(0, lost);
    try {
      this.#keep(safe.map(({ moment }) => moment));
    } finally {
      for (const { moment, answer } of safe) answer({ is: "ack", rev: moment.rev, words: moment.words });
    }
    if (lost === -1) return;
    this.#head = this.#present;
    const { reason } = kept[lost] as PromiseRejectedResult;
    for (const { answer, fail } of batch.slice(lost)) {
      if (reason instanceof StoreError)
        answer({ is: "refused", rev: this.#present.rev, message: reason.message });
      else fail(reason);
    }
  }

  #coming(moment: Moment): void {
    if (moment.rev <= this.#present.rev) return;
    try {
      for (const watcher of this.#watchers) watcher.coming?.(moment);
    } catch (bug) {
      console.error(bug);
    }
  }

  /** The last of the moments, all of them durable, becomes the present. */
  #keep(moments: readonly Moment[]): void {
    const last = moments.at(-1);
    if (last === undefined) return;
    for (const moment of [this.#present, ...moments]) {
      this.#moments.set(moment.rev, moment.unworked());
      this.#moments.delete(moment.rev - KEPT);
    }
    for (const { opId, rev } of moments) this.#recent.set(opId, rev);
    this.#present = last;
    for (const watcher of this.#watchers) watcher.changed();
    if (last.rev - this.#snapshotRev >= MANY) void this.snapshot();
    else this.#restSoon();
  }

  #restSoon(): void {
    this.#cancelRest();
    this.#cancelRest = this.#clock.after(REST, () => void this.snapshot());
  }

  /** Writes the readable file, where it lags. */
  async snapshot(): Promise<void> {
    this.#cancelRest();
    if (this.#present.rev === this.#snapshotRev) return;
    this.#snapshotRev = this.#present.rev;
    await this.#turns.snapshot(async () => {
      // Whoever closed the store meanwhile wrote the text.
      if (this.#stopped) return;
      const { text } = this;
      this.#snapshotRev = text.rev;
      await this.stored.snapshot(text);
    });
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
      this.#workText(text);
    }
    await this.settled();
    const { present } = await this.stored.choose(which, this.text);
    if (which === "ours") return;
    const worked = this.#workText(present.text);
    const rest = { rev: present.rev, line: EMPTY_LINE, words: "", opId: "", at: this.#clock.now() };
    this.#present = this.#moment(worked, rest);
    this.#head = this.#present;
    this.#snapshotRev = present.rev;
    this.#moments.clear();
    this.#touches.clear();
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
