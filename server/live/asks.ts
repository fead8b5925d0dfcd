/** Questions of a page that are no edits: the folder, searches, fillings, mends, a link. */
import type { FindQuestion } from "../../schemas/find.ts";
import type { Pattern } from "../../schemas/routine.ts";
import type { FromPage, FromServer, PageMessage } from "../../schemas/wire.ts";
import { fill, groupOf } from "../facts/fill.ts";
import type { Search } from "../facts/findPool.ts";
import { mendsOf } from "../facts/mends.ts";
import { neighboursOf } from "../facts/neighbours.ts";
import { patternProblems } from "../routine/checkPattern.ts";
import { StoreError } from "../store/errors.ts";
import { fraction } from "../time/fraction.ts";
import { parseMeter } from "../time/meter.ts";
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

/** What one page has running. A new search ends the one before. */
export class Asks {
  #search: { readonly ask: number; readonly search: Search } | null = null;

  async find(live: Live, { ask: asked, question }: PageMessage<"find">, send: Send): Promise<void> {
    this.leave();
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
    if (this.#search?.ask === asked) this.leave();
  }

  leave(): void {
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
    case "fill":
      return send(await filled(live, message));
    case "mends": {
      const { present } = await live.open(message.name);
      if (present.worked.errors.length > 0) {
        throw new StoreError("not-ours", "The routine has errors. Mend those first.");
      }
      const { section, placement } = message;
      const { join, why, landing } = mendsOf(present.worked.routine, { section, placement });
      return send({
        type: "mends",
        ask: message.ask,
        rev: present.rev,
        join: [...join],
        why,
        landing: [...landing],
      });
    }
    case "neighbours": {
      const pattern = message.pattern as Pattern;
      const meter = parseMeter(message.meter);
      const [fault] = patternProblems(pattern);
      if (fault !== undefined) throw new StoreError("not-ours", fault.message);
      if (meter === null) throw new StoreError("not-ours", `${message.meter} is no metre such as 4/4.`);
      return send({ type: "neighbours", ask: message.ask, answer: neighboursOf(pattern, meter) });
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

async function filled(live: Live, message: PageMessage<"fill">): Promise<FromServer> {
  const { ask: asked, name, steps, groups, pins = [], top, step = "1/16" } = message;
  const { routine } = (await live.open(name)).present.worked;
  const named = groups.map((group) => {
    if (typeof group === "number") return { name: String(group), length: fraction(BigInt(group)) };
    const pattern = routine.patterns.find(({ id }) => id === group);
    if (pattern === undefined) throw new StoreError("not-found", `There is no pattern "${group}" any more.`);
    return groupOf(pattern, step);
  });
  const answer = fill({
    gap: fraction(BigInt(steps)),
    groups: named,
    pins: pins.map(({ at, starts, ends }) => ({
      at: fraction(BigInt(at)),
      ...(starts === undefined ? {} : { starts: String(starts) }),
      ...(ends === undefined ? {} : { ends: String(ends) }),
    })),
    top,
  });
  if ("refused" in answer) return { type: "sorry", ask: asked, message: answer.refused };
  const best = answer.best.map((filling) => filling.map((index) => groups[index] as number | string));
  return { type: "filled", ask: asked, answer: { count: answer.count.toString(), best } };
}
