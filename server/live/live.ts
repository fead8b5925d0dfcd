/** The open routines of a folder and the pages on them. */
import { availableParallelism } from "node:os";
import type { FindQuestion } from "../../schemas/find.ts";
import type { Binned, Entry, FromServer } from "../../schemas/wire.ts";
import { startSearch } from "../facts/findWorkers.ts";
import { handFirst as handGoesFirst } from "../jobs/giveWayWorkers.ts";
import type { Jobs } from "../jobs/jobs.ts";
import { createJobs } from "../jobs/jobWorkers.ts";
import { EXAMPLES, type Example } from "../routine/examples.ts";
import { writeRoutine } from "../routine/write.ts";
import { StoreError } from "../store/errors.ts";
import type { Clock, Folder } from "../store/interfaces.ts";
import { saving } from "../store/unsaved.ts";
import type { Connection } from "../web/interfaces.ts";
import { Asks } from "./asks.ts";
import { DiskTurns } from "./diskTurns.ts";
import { emptyRoutine } from "./empty.ts";
import { OpenRoutine, Unreadable } from "./openRoutine.ts";
import { FIRST_SECTIONS, Page } from "./page.ts";
import { soundFolder } from "./soundBank.ts";
import { soundsFirst } from "./soundsFirst.ts";
import { putTapes } from "./tapes.ts";
import { readForEditing } from "./worked.ts";

export class Live {
  readonly folder: Folder;
  readonly clock: Clock;
  /** Makes a link that lets another browser in. */
  readonly link: () => string;
  readonly jobs: Jobs;
  /** An edit is on its way. */
  readonly handFirst: () => void;
  readonly #opened: (routine: OpenRoutine) => void;
  readonly #open = new Map<string, Promise<OpenRoutine>>();
  readonly #pages = new Set<Page>();
  readonly #turns = new DiskTurns();
  /** Called with the name of a routine that is not open under it any more. */
  readonly #onGone = new Set<(name: string) => void>();
  #closing = false;

  /** @param opened called with each routine that is opened, before its page has it */
  constructor(
    folder: Folder,
    clock: Clock,
    link: () => string,
    { opened = (_: OpenRoutine): void => {}, jobs = createJobs(), handFirst = handGoesFirst } = {},
  ) {
    this.jobs = jobs;
    this.handFirst = handFirst;
    this.#opened = opened;
    this.folder = folder;
    this.clock = clock;
    this.link = link;
  }

  /** For the socket door: a page came in on `/live`. */
  onClient(connection: Connection): void {
    const page = new Page(this, connection, this.clock, new Asks());
    this.#pages.add(page);
    const { onClose } = connection;
    connection.onClose = () => {
      this.#pages.delete(page);
      onClose();
    };
  }

  async list(): Promise<Entry[]> {
    return (await this.folder.list()).map(({ name, size, modified }) => ({ name, bytes: size, modified }));
  }

  /** The same object while it is open. @throws StoreError, Unreadable */
  open(name: string): Promise<OpenRoutine> {
    const known = this.#open.get(name);
    if (known !== undefined) return known;
    // What came to be open now would never be closed, and keep the program from ending.
    if (this.#closing)
      return Promise.reject(new StoreError("held", "The program is ending. Start it again."));
    const opening = this.folder.open(name).then((stored) => {
      const routine = new OpenRoutine(stored, this.clock, this.#turns);
      this.#opened(routine);
      return routine;
    });
    this.#open.set(name, opening);
    opening.catch(() => this.#open.delete(name));
    return opening;
  }

  /** Opens what was changed last, so that it stands ready when a page comes for it. What is wrong with it is told then. */
  async openLatest(): Promise<void> {
    const [latest] = (await this.list().catch(() => [])).sort((a, b) => b.modified - a.modified);
    if (latest === undefined) return;
    await this.open(latest.name)
      .then((routine) => routine.beginning(FIRST_SECTIONS) ?? routine.present.worked)
      .catch(() => {});
  }

  /** Calls back when a routine goes: renamed, in the bin. @returns a way to stop */
  onGone(listener: (name: string) => void): () => void {
    this.#onGone.add(listener);
    return () => this.#onGone.delete(listener);
  }

  /** @throws StoreError, Unreadable */
  async create(name: string, content: "empty" | Example | { readonly text: string }): Promise<void> {
    let text: string;
    if (content === "empty") text = writeRoutine(emptyRoutine(name));
    else if (typeof content === "string") text = writeRoutine(EXAMPLES[content]);
    else {
      const read = readForEditing(content.text);
      if ("problems" in read) throw new Unreadable(name, read.problems);
      text = writeRoutine(read.routine);
    }
    const { path } = this.folder;
    const make = (): Promise<void> => this.folder.create(name, text);
    if (content !== "attic-waltz") await make();
    else
      await soundsFirst(
        path,
        soundFolder(path, name),
        (into) => saving(() => putTapes(EXAMPLES[content], into)),
        make,
      );
    await this.#tellFolder();
  }

  async copy(name: string, to: string): Promise<void> {
    const open = await this.#open.get(name);
    await open?.settled();
    await this.folder.copy(name, to, open?.text);
    await this.#tellFolder();
  }

  async rename(name: string, to: string): Promise<void> {
    if (name === to) return;
    await this.#goes(name, to, (present) => this.folder.rename(name, to, present));
  }

  /** Into the folder's bin. */
  async bin(name: string): Promise<void> {
    await this.#goes(name, null, (present) => this.folder.remove(name, present));
  }

  async binned(): Promise<Binned[]> {
    const found = await this.folder.binned();
    return found.map(({ place, name, size, modified }) => ({ place, name, bytes: size, modified }));
  }

  /** @returns the name it has now */
  async bringBack(place: string): Promise<string> {
    const name = await this.folder.bringBack(place);
    await this.#tellFolder();
    return name;
  }

  async #goes(
    name: string,
    to: string | null,
    act: (present: OpenRoutine["text"] | undefined) => Promise<void>,
  ): Promise<void> {
    const open = await this.#open.get(name);
    const present = await open?.stop();
    this.#open.delete(name);
    try {
      await act(present);
    } finally {
      // The store has closed it, also where it could not move it: pages open it anew.
      for (const listener of this.#onGone) listener(name);
    }
    for (const page of this.#pages) page.forget(name);
    this.#tell({ type: "renamed", name, to });
    await this.#tellFolder();
  }

  #tell(message: FromServer): void {
    for (const page of this.#pages) page.send(message);
  }

  async #tellFolder(): Promise<void> {
    this.#tell({ type: "list", routines: await this.list() });
  }

  search(question: FindQuestion) {
    // One core stays free for edits and sound.
    return startSearch(question, Math.max(1, availableParallelism() - 1));
  }

  /** Leaves every file fresh and lets go of the folder. */
  async close(): Promise<void> {
    this.#closing = true;
    for (const opening of this.#open.values()) {
      try {
        const open = await opening;
        const present = await open.stop();
        await open.stored.close(present);
      } catch (error) {
        if (!(error instanceof StoreError || error instanceof Unreadable)) throw error;
      }
    }
    this.#open.clear();
    await this.folder.close();
  }
}
