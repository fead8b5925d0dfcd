/**
 * One page on the socket `/live`. What it watches is told in order; a page that is slow gets several edits as one,
 * so that no queue grows without end.
 */
import { WIRE } from "../../schemas/version.ts";
import { FromPage, type FromServer, type PageMessage, type ServerMessage } from "../../schemas/wire.ts";
import { JobBroken } from "../jobs/jobs.ts";
import { StoreError } from "../store/errors.ts";
import type { Clock } from "../store/interfaces.ts";
import type { Connection } from "../web/interfaces.ts";
import { ask, type Asks } from "./asks.ts";
import { aboutAll, beginningOf, computedBetween, idsOf, lackingAfter, partOf, wholeOf } from "./computed.ts";
import { historyOf, savedOf } from "./told.ts";
import type { Live } from "./live.ts";
import { messageOf } from "./message.ts";
import type { Moment } from "./moment.ts";
import { type Answer, type OpenRoutine, Unreadable } from "./openRoutine.ts";
import type { Worked } from "./worked.ts";
import { Memory } from "../../schemas/memory.ts";

/** Bytes waiting for a page above which it is slow, and milliseconds until one looks again. */
const SLOW = 256 * 1024;
const LOOK_AGAIN = 20;
/** Sections that come with a routine, and those of each message that follows: what fills a window, and a breath. */
const AT_FIRST = 16;
const AT_ONCE = 8;
/** Sections that are worked out for the first ones: joins and pickups of later ones reach back. */
export const FIRST_SECTIONS = AT_FIRST + 2;
/** Milliseconds in which a page draws those that came first. */
const FIRST_PICTURE = 600;

/** A routine that the page watches, and how far it was told. */
interface Watched {
  readonly routine: OpenRoutine;
  told: Moment;
  /** Answers that must come after what is still to be told. */
  readonly waiting: FromServer[];
  readonly stop: () => void;
  draft: PageMessage<"draft"> | null;
  /** Sections that are still to follow, by id; another list when all begins anew. */
  lacks: string[];
  /** What the page was told of a routine that was not worked out whole: until the rest follows it knows no warnings. */
  begun: Worked | null;
}

export class Page {
  readonly #live: Live;
  readonly #connection: Connection;
  readonly #clock: Clock;
  readonly #watched = new Map<string, Watched>();
  readonly #asks: Asks;
  #lookAgain: (() => void) | null = null;
  #closed = false;

  constructor(live: Live, connection: Connection, clock: Clock, asks: Asks) {
    this.#live = live;
    this.#connection = connection;
    this.#clock = clock;
    this.#asks = asks;
    connection.onMessage = (data) => this.#arrived(data);
    connection.onClose = () => this.#left();
    void this.#greet();
  }

  send(message: FromServer): void {
    if (!this.#closed) this.#connection.send(JSON.stringify(message));
  }

  async #greet(): Promise<void> {
    const hello = messageOf(FromPage, this.#connection.hello);
    if (hello?.type !== "hello" || hello.wire !== WIRE) {
      this.#connection.close(4001, "This page is of another version. Load it again.");
      return;
    }
    try {
      this.send({
        type: "welcome",
        wire: WIRE,
        folder: this.#live.folder.path,
        routines: await this.#live.list(),
        notices: [...this.#live.folder.notices],
      });
    } catch (error) {
      this.#sorry(null, error);
    }
  }

  #left(): void {
    this.#closed = true;
    this.#lookAgain?.();
    for (const { stop } of this.#watched.values()) stop();
    this.#watched.clear();
    this.#asks.leave();
  }

  #arrived(data: string | Uint8Array): void {
    const message = messageOf(FromPage, data);
    if (message === null) {
      this.send({
        type: "sorry",
        ask: null,
        message: "The message was not understood. Load the page again.",
      });
      return;
    }
    void this.#do(message).catch((error: unknown) => this.#failed(message, error));
  }

  /** What could not be done is told where its answer is expected. */
  #failed(message: FromPage, error: unknown): void {
    if ("opId" in message) {
      const { name, opId } = message;
      const rev = this.#watched.get(name)?.routine.present.rev ?? 0;
      this.send({ type: "refused", name, opId, rev, message: sentenceOf(error) });
    } else this.#sorry("ask" in message ? message.ask : null, error);
  }

  #sorry(asked: number | null, error: unknown): void {
    const problems = error instanceof Unreadable ? { problems: [...error.problems] } : {};
    this.send({ type: "sorry", ask: asked, message: sentenceOf(error), ...problems });
  }

  async #do(message: FromPage): Promise<void> {
    if ("opId" in message || message.type === "draft") this.#live.handFirst();
    switch (message.type) {
      case "hello":
        return;
      case "open":
        return this.#open(message);
      case "leave":
        return this.forget(message.name);
      case "edit":
        return this.#answer(message, (routine) =>
          routine.edit(message.opId, message.base, message.edit, message.replayed),
        );
      case "undo":
        return this.#answer(message, (routine) => routine.undo(message.opId, message.base));
      case "redo":
        return this.#answer(message, (routine) => routine.redo(message.opId, message.base));
      case "restore":
        return this.#answer(message, (routine) => routine.restore(message.opId, message.base, message.to));
      case "draft":
        return this.#draft(message);
      case "history": {
        const { routine } = this.#mustWatch(message.name);
        return this.send({ type: "history", ask: message.ask, ...(await historyOf(routine, message)) });
      }
      case "look": {
        const { routine } = this.#mustWatch(message.name);
        const { routine: past, at } = await routine.past(message.rev);
        const { name, rev } = message;
        return this.send({ type: "past", ask: message.ask, name, rev, at, ...wholeOf(routine.work(past)) });
      }
      case "choose":
        await this.#mustWatch(message.name).routine.choose(message.keep);
        return this.send({ type: "done", ask: message.ask });
      default:
        return ask(this.#live, this.#asks, message, (answer) => this.send(answer));
    }
  }

  #mustWatch(name: string): Watched {
    const watched = this.#watched.get(name);
    if (watched === undefined) throw new StoreError("not-found", `${name} is not open. Open it first.`);
    return watched;
  }

  async #open({ ask: asked, name, have }: PageMessage<"open">): Promise<void> {
    const routine = await this.#live.open(name);
    if (this.#closed) return;
    this.forget(name);
    const kept = have?.epoch === routine.epoch ? routine.moment(have.rev) : undefined;
    const watched: Watched = {
      routine,
      told: kept ?? routine.present,
      waiting: [],
      draft: null,
      lacks: [],
      begun: null,
      stop: routine.watch({
        edits: true,
        coming: (moment) => this.#prepare(watched, moment),
        changed: () => this.#tell(watched),
        saved: (state) => this.send({ type: "saved", name, saved: savedOf(state) }),
        replaced: () => this.#whole(watched),
      }),
    };
    this.#watched.set(name, watched);
    if (kept === undefined) return this.#whole(watched, asked);
    this.#tell(watched);
    this.send({ type: "saved", name, saved: savedOf(routine.stored.state) });
    this.send({ type: "done", ask: asked, name });
  }

  #whole(watched: Watched, asked?: number): void {
    const { routine } = watched;
    const { present } = routine;
    watched.told = present;
    if (this.#closed) return;
    const own = JSON.stringify({
      type: "routine",
      ...(asked === undefined ? {} : { ask: asked }),
      saved: savedOf(routine.stored.state),
      notices: [...routine.stored.notices],
    } satisfies Partial<ServerMessage<"routine">>);
    const begun = routine.beginning(FIRST_SECTIONS);
    this.#connection.send(wholeMessage(routine, begun, own), true);
    const lacks = begun === null ? idsOf(present.worked).slice(AT_FIRST) : [];
    watched.begun = begun;
    watched.lacks = lacks;
    if (begun === null && lacks.length === 0) return;
    this.#clock.after(FIRST_PICTURE, () => {
      void this.#rest(watched, lacks).catch((bug: unknown) => console.error(bug));
    });
  }

  /** Works out what is not yet, then sends what the page lacks. */
  async #rest(watched: Watched, lacks: string[]): Promise<void> {
    const { begun, routine } = watched;
    if (begun !== null) {
      await routine.workOut(breathe);
      if (watched.lacks !== lacks) return;
      lacks.push(...lackingAfter(begun, AT_FIRST, watched.told.worked));
    }
    this.#more(watched, lacks);
  }

  /** Sends what the page lacks of a long routine, a little at a time: edits and their answers go between. */
  #more(watched: Watched, lacks: string[]): void {
    setImmediate(() => {
      const { routine, told } = watched;
      if (this.#closed || this.#watched.get(routine.name) !== watched || watched.lacks !== lacks) return;
      if (this.#connection.waiting > SLOW / 2) {
        this.#clock.after(LOOK_AGAIN, () => this.#more(watched, lacks));
        return;
      }
      this.send({
        type: "sections",
        name: routine.name,
        epoch: routine.epoch,
        rev: told.rev,
        ...partOf(told.worked, lacks.splice(0, AT_ONCE)),
        ...(watched.begun === null ? {} : aboutAll(told.worked)),
        left: lacks.length,
      });
      watched.begun = null;
      if (lacks.length > 0) this.#more(watched, lacks);
    });
  }

  /** What will be told, unless the page lags. */
  #prepare({ routine, told, begun }: Watched, moment: Moment): void {
    if (told === routine.present && begun === null) changedText(routine, told, moment);
  }

  /** Tells what is new, now or when there is room for it; then the answers that waited for it. */
  #tell(watched: Watched): void {
    if (this.#closed) return;
    if (this.#connection.waiting > SLOW) {
      this.#lookAgain ??= this.#clock.after(LOOK_AGAIN, () => {
        this.#lookAgain = null;
        for (const one of this.#watched.values()) this.#tell(one);
      });
      return;
    }
    const { told, routine } = watched;
    const { present } = routine;
    // Without warnings there is nothing yet that a change could follow from.
    if (present !== told && watched.begun !== null) this.#whole(watched);
    else if (present !== told) {
      watched.told = present;
      this.#connection.send(changedText(routine, told, present), true);
    }
    for (const answer of watched.waiting.splice(0)) this.send(answer);
  }

  async #answer(
    { name, opId }: { readonly name: string; readonly opId: string },
    make: (routine: OpenRoutine) => Promise<Answer>,
  ): Promise<void> {
    const watched = this.#mustWatch(name);
    const { is, ...answer } = await make(watched.routine);
    watched.waiting.push({ type: is, name, opId, ...answer } as FromServer);
    this.#tell(watched);
  }

  /** Only the latest is worked out, once what came with it has been read. */
  #draft(message: PageMessage<"draft">): void {
    const watched = this.#mustWatch(message.name);
    const idle = watched.draft === null;
    watched.draft = message;
    if (idle) setImmediate(() => this.#workDraft(watched));
  }

  #workDraft(watched: Watched): void {
    const { draft: message, routine } = watched;
    watched.draft = null;
    if (message === null || message.edit === null || this.#closed) return;
    const { name, draft, edit } = message;
    this.#tell(watched);
    const { told } = watched;
    // A page that lags, or lacks warnings, learns what it would be against what it has been told.
    if (told !== routine.present || watched.begun !== null) return;
    const tried = routine.draft(edit);
    if ("refused" in tried) this.send({ type: "not-drafted", name, draft, message: tried.refused });
    else {
      this.send({
        type: "drafted",
        name,
        draft,
        base: told.rev,
        words: tried.words,
        ...computedBetween(told.worked, tried.worked),
      });
    }
  }

  /** The page is told no more about a routine. */
  forget(name: string): void {
    this.#watched.get(name)?.stop();
    this.#watched.delete(name);
  }

  watches(name: string): boolean {
    return this.#watched.has(name);
  }
}

/** What pages are told of a routine's moment is the same for all of them, and made once. */
const wholes = new Memory<Moment, Buffer>();
/** With what is one page's own, which mostly says the same to the next page. */
const lastWholes = new Memory<Moment, { readonly own: string; readonly message: Buffer }>();
/** From which revision, and not from which moment: that would hold the one before, and so all there ever were. */
const texts = new Memory<Moment, { readonly from: number; readonly text: Buffer }>();

/** All of a routine. @param own JSON of what is one page's own; @param begun where the whole is not worked out yet */
function wholeMessage(routine: OpenRoutine, begun: Worked | null, own: string): Buffer {
  const { present } = routine;
  const last = begun === null ? lastWholes.get(present) : undefined;
  if (last?.own === own) return last.message;
  const message = Buffer.concat([Buffer.from(`${own.slice(0, -1)},`), wholeText(routine, begun)]);
  if (begun === null) lastWholes.set(present, { own, message });
  return message;
}

/**
 * All of a routine without what is one page's own, and without the opening bracket.
 * @param begun where the whole is not worked out yet
 */
function wholeText(routine: OpenRoutine, begun: Worked | null): Buffer {
  const { present } = routine;
  const known = begun === null ? wholes.get(present) : undefined;
  if (known !== undefined) return known;
  const message = {
    name: routine.name,
    epoch: routine.epoch,
    rev: present.rev,
    ...(begun === null ? wholeOf(present.worked, AT_FIRST) : beginningOf(present.routine, begun, AT_FIRST)),
    ...linesOf(present),
  } satisfies Partial<ServerMessage<"routine">>;
  const text = Buffer.from(JSON.stringify(message).slice(1));
  if (begun === null) wholes.set(present, text);
  return text;
}

const breathe = (): Promise<void> => new Promise((goOn) => setImmediate(goOn));

/** What pages are told of the present, or what is about to be, where they were told of another moment last. */
export function changedText(routine: OpenRoutine, told: Moment, present = routine.present): Buffer {
  const known = texts.get(present);
  if (known?.from === told.rev) return known.text;
  const several = present.rev - told.rev - 1;
  const message: ServerMessage<"changed"> = {
    type: "changed",
    name: routine.name,
    epoch: routine.epoch,
    from: told.rev,
    rev: present.rev,
    by: several === 0 ? present.opId : null,
    words: several === 0 ? present.words : `${present.words}, and ${several} more`,
    ...computedBetween(told.worked, present.worked),
    ...linesOf(present),
  };
  const text = Buffer.from(JSON.stringify(message));
  texts.set(present, { from: told.rev, text });
  return text;
}

const linesOf = ({ line: { done, undone } }: Moment) => ({
  undo: done?.step.words ?? null,
  redo: undone?.step.words ?? null,
});

/** Expected failures speak for themselves; anything else is a bug, and is thrown where it is seen. */
function sentenceOf(error: unknown): string {
  if (error instanceof StoreError || error instanceof Unreadable || error instanceof JobBroken)
    return error.message;
  console.error(error);
  return "Something went wrong in the program. Your work is safe as far as it was acknowledged; load the page again.";
}
