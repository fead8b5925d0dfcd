/**
 * What the store promises the rest of the server. It knows texts, revisions and records, but not what an edit
 * means: whoever opens a routine applies the records to the text.
 *
 * A routine `x` lives in three places of its folder:
 * - `x.routine.json`, readable, as of the last snapshot;
 * - `.x.journal`, the text that the journal starts from and every edit since, a line a record with a checksum. The
 *   revision stands here and not in the routine file, which is the user's document and refuses unknown fields;
 * - `.x.past/`, compressed earlier journals: the routine's history.
 */

/** Milliseconds since 1970 for people; may jump. `after` runs by a clock that does not. */
export interface Clock {
  now(): number;
  /** Runs `act` once after some milliseconds. @returns a way to call it off */
  after(milliseconds: number, act: () => void): () => void;
}

/** A fresh id of letters and digits, unlike all others. */
export type Ids = () => string;

/** One acknowledged edit. `rev` is the revision that it made: one more than the one it was made on. */
export interface EditRecord {
  readonly rev: number;
  /** The client's own id of the edit, so that the same edit sent twice is applied once. */
  readonly opId: string;
  /** Milliseconds since 1970. */
  readonly at: number;
  /** Plain JSON data; the store keeps it as it is. */
  readonly ops: unknown;
}

/** A text and its revision. */
export interface Moment {
  readonly text: string;
  readonly rev: number;
}

/**
 * `saved`: file and journal agree with the last acknowledged edit. `journalled`: every acknowledged edit is safe in
 * the journal, the readable file lags. `changed-outside`: as before, but the file on disk is not ours any more and
 * is left alone until someone chooses. `read-only`: nothing can be saved, for the reason told; never left again.
 */
export type SaveState =
  | { readonly is: "saved" | "journalled" }
  | { readonly is: "changed-outside"; readonly outside: Outside }
  | { readonly is: "read-only"; readonly why: string };

/** What stands on disk in place of our file: its text, or null where it is gone or no UTF-8 text. */
export interface Outside {
  readonly text: string | null;
  readonly gone: boolean;
}

/** Ids of edits that are known over a restart, at least. */
export const RECENT = 500;

export interface Stored {
  /** The routine's name: its file without `.routine.json`. */
  readonly name: string;
  /** Names the line of revisions; a new one begins where revisions stop following from each other. */
  readonly epoch: string;
  /** What to start from, and the edits to apply to it, in order and without a gap. */
  readonly start: Moment;
  readonly after: readonly EditRecord[];
  /** Earlier edits that are at hand, in order, up to `start.rev`: for clients that come back. */
  readonly before: readonly EditRecord[];
  /** Ids of the last RECENT edits at least and the revision each made, those of `before` and `after` included. */
  readonly recent: ReadonlyMap<string, number>;
  /** What had to be done on opening, in sentences for the user: a torn last record dropped, something set aside. */
  readonly notices: readonly string[];
  /** The revision of the last durable edit. */
  readonly rev: number;
  readonly state: SaveState;
  /** Called after each change of `state`. @returns a way to stop */
  onState(listener: (state: SaveState) => void): () => void;
  /**
   * Resolves once the edit is on disk and flushed; edits that wait are written together, in the order of the calls.
   * @throws StoreError `read-only`, and then this and every later edit is not saved
   * @throws RangeError where `rev` does not follow the last appended one
   */
  append(record: EditRecord): Promise<void>;
  /**
   * Writes the readable file. `moment` is the text as of a durable revision. Edits may go on meanwhile. Where the
   * file on disk is not the one we know, nothing is written and the state becomes `changed-outside`.
   * Resolves in every case; look at `state`.
   */
  snapshot(moment: Moment): Promise<void>;
  /** Looks whether the file changed outside, without writing. */
  look(): Promise<SaveState>;
  /**
   * Settles an outside change; the other text is kept as a copy in the folder.
   * `ours` is the present text. With "theirs" a new line of revisions begins: read `epoch` and use what is returned.
   * @throws StoreError
   */
  choose(
    which: "ours" | "theirs",
    ours: Moment,
  ): Promise<{ readonly present: Moment; readonly copy: string | null }>;
  readonly history: History;
  /** Waits for what is being written and lets go of the journal; give the present text to leave the file fresh. */
  close(present?: Moment): Promise<void>;
}

/** A stretch of the past: the edits `first` to `last` (both included), between two times (milliseconds, included). */
export interface Stretch {
  readonly first: number;
  readonly last: number;
  readonly from: number;
  readonly to: number;
}

export interface History {
  /** All stretches, oldest first; the last one is the journal itself. Reads names only. */
  stretches(): Promise<readonly Stretch[]>;
  /** The text before the stretch's first edit, and its edits. Op ids of old edits are not kept and are "". */
  read(stretch: Stretch): Promise<{ readonly base: Moment; readonly records: readonly EditRecord[] }>;
  /** What leads to a revision: a text and the edits to apply to it. @throws StoreError `not-found` */
  moment(rev: number): Promise<{ readonly base: Moment; readonly records: readonly EditRecord[] }>;
  /** Up to `limit` edits before a revision (it not included), newest first. */
  list(before: number, limit: number): Promise<readonly EditRecord[]>;
}

export interface Listed {
  readonly name: string;
  /** Bytes of the file. */
  readonly size: number;
  /** Milliseconds since 1970. */
  readonly modified: number;
}

/** A routine in the bin; `place` tells it from all others. */
export interface Binned extends Listed {
  readonly place: string;
}

/** A folder of routines that this process alone may write. Method errors are StoreErrors. */
export interface Folder {
  /** The folder's real path. */
  readonly path: string;
  /** Sentences about what was found on opening that the user should know. */
  readonly notices: readonly string[];
  /** Ordered by name. Links and other special files are left out. */
  list(): Promise<readonly Listed[]>;
  /** Opens a routine; the same object while it is open. */
  open(name: string): Promise<Stored>;
  /** @throws StoreError `bad-name`, `taken` (also for twins by Unicode form or by case), `read-only` */
  create(name: string, text: string): Promise<void>;
  /** A copy of the file as it stands; the history stays with the first. Give the present text of an open routine. */
  copy(name: string, to: string, present?: Moment): Promise<void>;
  /** Closes it first (with `present`), then renames file, journal and past. */
  rename(name: string, to: string, present?: Moment): Promise<void>;
  /** Moves file, journal and past to `.bin/`; nothing is destroyed. */
  remove(name: string, present?: Moment): Promise<void>;
  /** The lines of what was practised of a routine, in the order in which they were added. */
  practice(name: string): Promise<readonly string[]>;
  /** Adds a line for good. @throws StoreError `not-found`, `read-only` */
  addPractice(name: string, line: string): Promise<void>;
  /** What lies in the bin, the newest first. */
  binned(): Promise<readonly Binned[]>;
  /** Out of the bin, with all that belonged to it. @returns its name: another one where its own is taken meanwhile */
  bringBack(place: string): Promise<string>;
  /** Says where this server answers, to whoever asks for the folder next. */
  announce(address: string): void;
  /** Closes all routines and gives up the folder. */
  close(): Promise<void>;
}
