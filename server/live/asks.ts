/** Questions of a page that are no edits: the folder, searches, fillings, mends, a link. */
import type { FindQuestion } from "../../schemas/find.ts";
import type { Pattern } from "../../schemas/routine.ts";
import type { FromPage, FromServer, PageMessage } from "../../schemas/wire.ts";
import type { Search } from "../facts/findWorkers.ts";
import { StoreError } from "../store/errors.ts";
import type { Live } from "./live.ts";
import { addPractice, practiceOf } from "./practice.ts";

/** Milliseconds between two tellings of how far a search is. */
const PROGRESS = 200;

type Question = Exclude<
  FromPage,
  {
    type:
      | "hello"
      | "open"
      | "leave"
      | "edit"
      | "undo"
      | "redo"
      | "restore"
      | "draft"
      | "history"
      | "look"
      | "choose";
  }
>;
type Send = (message: FromServer) => void;

/** What one page has running. A new search ends the one before; what a page that left still waits for ends too. */
export class Asks {
  readonly #running = new Map<number, AbortController>();
  #search: { readonly ask: number; readonly search: Search } | null = null;

  /** Runs what can be broken off, under the number that the page gave it. */
  async within<Result>(asked: number, work: (signal: AbortSignal) => Promise<Result>): Promise<Result> {
    const control = new AbortController();
    this.#running.set(asked, control);
    try {
      return await work(control.signal);
    } finally {
      if (this.#running.get(asked) === control) this.#running.delete(asked);
    }
  }

  async find(live: Live, { ask: asked, question }: PageMessage<"find">, send: Send): Promise<void> {
    this.#endSearch();
    const search = live.search(question as FindQuestion);
    if ("refused" in search) return send({ type: "sorry", ask: asked, message: search.refused });
    const mine = { ask: asked, search };
    this.#search = mine;
    let stopTelling = (): void => {};
    const tell = (): void => {
      stopTelling = live.clock.after(PROGRESS, () => {
        send({ type: "find-progress", ask: asked, progress: search.progress() });
        tell();
      });
    };
    tell();
    try {
      send({ type: "found", ask: asked, answer: await search.answer });
    } catch (error) {
      console.error(error);
      send({ type: "sorry", ask: asked, message: "The search broke off. Narrow it down, and try again." });
    } finally {
      stopTelling();
      if (this.#search === mine) this.#search = null;
    }
  }

  cancel(asked: number): void {
    this.#running.get(asked)?.abort();
    if (this.#search?.ask === asked) this.#endSearch();
  }

  leave(): void {
    for (const control of this.#running.values()) control.abort();
    this.#endSearch();
  }

  #endSearch(): void {
    this.#search?.search.cancel();
    this.#search = null;
  }
}

export async function ask(live: Live, asks: Asks, message: Question, send: Send): Promise<void> {
  switch (message.type) {
    case "list":
      return send({ type: "list", ask: message.ask, routines: await live.list() });
    case "create": {
      const { content, name } = message;
      await live.create(name, content);
      return send({ type: "done", ask: message.ask, name });
    }
    case "copy":
      await live.copy(message.name, message.to);
      return send({ type: "done", ask: message.ask, name: message.to });
    case "rename":
      await live.rename(message.name, message.to);
      return send({ type: "done", ask: message.ask, name: message.to });
    case "bin":
      await live.bin(message.name);
      return send({ type: "done", ask: message.ask });
    case "binned":
      return send({ type: "binned", ask: message.ask, routines: await live.binned() });
    case "bring-back":
      return send({ type: "done", ask: message.ask, name: await live.bringBack(message.place) });
    case "find":
      return asks.find(live, message, send);
    case "find-cancel":
      return asks.cancel(message.ask);
    case "fill": {
      const { routine } = (await live.open(message.name)).present;
      const found = await asks.within(message.ask, (signal) =>
        live.jobs.fill(routine.patterns, message, signal),
      );
      if ("problem" in found) return send({ type: "sorry", ask: message.ask, message: found.problem });
      return send({ type: "filled", ask: message.ask, answer: found.answer });
    }
    case "mends": {
      const { routine, errors, rev } = (await live.open(message.name)).present;
      if (errors.length > 0) throw new StoreError("not-ours", "The routine has errors. Mend those first.");
      const { section, placement } = message;
      const { join, why, landing } = await asks.within(message.ask, (signal) =>
        live.jobs.mends(routine, { section, placement }, signal),
      );
      return send({ type: "mends", ask: message.ask, rev, join: [...join], why, landing: [...landing] });
    }
    case "neighbours": {
      const found = await asks.within(message.ask, (signal) =>
        live.jobs.neighbours(message.pattern as Pattern, message.meter, signal),
      );
      if ("problem" in found) return send({ type: "sorry", ask: message.ask, message: found.problem });
      return send({ type: "neighbours", ask: message.ask, answer: found.answer });
    }
    case "practised":
      await addPractice(live.folder, message.name, message.entry);
      return send(await practice(live, message));
    case "practice":
      return send(await practice(live, message));
    case "link":
      return send({ type: "link", ask: message.ask, url: live.link() });
  }
}

async function practice(
  live: Live,
  { ask: asked, name }: { readonly ask: number; readonly name: string },
): Promise<FromServer> {
  const { entries, unread } = await practiceOf(live.folder, name);
  return { type: "practice", ask: asked, name, entries: [...entries], unread };
}
