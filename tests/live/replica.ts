/** A page of the tests: keeps a replica by the messages alone, each parsed by its schema as the real page does. */
import type { SectionFacts } from "../../schemas/facts.ts";
import { applyFacts } from "../../schemas/factsPatch.ts";
import type { PackedSection } from "../../schemas/packed.ts";
import { applyPatch, applySplice, type Patch } from "../../schemas/patch.ts";
import type { Routine } from "../../schemas/routine.ts";
import { WIRE } from "../../schemas/version.ts";
import type { FromPage, FromServer, ServerMessage } from "../../schemas/wire.ts";
import type { Live } from "../../server/live/live.ts";
import type { Connection } from "../../server/web/interfaces.ts";
import { parseWhole } from "./insides.ts";

export interface Replica {
  epoch: string;
  rev: number;
  routine: Routine;
  sections: ReadonlyMap<string, PackedSection>;
  timing: ServerMessage<"routine">["timing"];
  problems: ServerMessage<"routine">["problems"];
}

/** In the routine's order; what has not come yet is not there. */
function merged(
  known: ReadonlyMap<string, PackedSection>,
  came: readonly PackedSection[],
  routine: Routine,
): ReadonlyMap<string, PackedSection> {
  const all = new Map([...known, ...came.map((section) => [section.id, section] as const)]);
  return new Map(routine.sections.flatMap(({ id }) => (all.has(id) ? [[id, all.get(id)!] as const] : [])));
}

let connections = 0;

export class TestPage {
  readonly #live: Live;
  #connection: (Connection & { open: boolean }) | null = null;
  readonly got: FromServer[] = [];
  replica: Replica | null = null;
  readonly facts = new Map<string, SectionFacts>();
  /** Bytes that the page has not taken yet. */
  waiting = 0;

  constructor(live: Live) {
    this.#live = live;
  }

  connect(live: Live = this.#live): this {
    const connection: Connection & { open: boolean } = {
      id: ++connections,
      path: "/live",
      hello: JSON.stringify({ type: "hello", wire: WIRE, token: "t" }),
      waiting: 0,
      open: true,
      send: (data) => {
        if (connection.open) this.#arrived(parseWhole(JSON.parse(data as string)));
        return connection.open;
      },
      close: () => this.disconnect(),
      onMessage: () => {},
      onClose: () => {},
    };
    Object.defineProperty(connection, "waiting", { get: () => this.waiting });
    this.#connection = connection;
    live.onClient(connection);
    return this;
  }

  disconnect(): void {
    const connection = this.#connection;
    if (connection === null) return;
    connection.open = false;
    this.#connection = null;
    connection.onClose();
  }

  get connected(): boolean {
    return this.#connection !== null;
  }

  say(message: FromPage | Record<string, unknown>): void {
    this.#connection?.onMessage(JSON.stringify(message));
  }

  #arrived(message: FromServer): void {
    this.got.push(message);
    if (message.type === "routine" || message.type === "sections") {
      if (message.type === "routine") this.facts.clear();
      for (const one of message.sectionFacts) this.facts.set(one.id, one);
    } else if (message.type === "changed") {
      for (const one of message.sectionFacts) {
        const known = applyFacts(this.facts.get(one.id), one);
        if (known !== null) this.facts.set(one.id, known);
      }
    }
    if (message.type === "routine") {
      const { epoch, rev, timing, problems } = message;
      const sections = new Map(message.sections.map((section) => [section.id, section]));
      this.replica = { epoch, rev, routine: message.routine as Routine, sections, timing, problems };
    } else if (message.type === "sections") {
      const { replica } = this;
      if (replica === null || replica.rev !== message.rev || replica.epoch !== message.epoch)
        throw new Error(`sections of ${message.rev} on a replica at ${replica?.rev}`);
      this.replica = {
        ...replica,
        sections: merged(replica.sections, message.sections, replica.routine),
        problems: message.problems ?? replica.problems,
      };
    } else if (message.type === "changed") {
      const { replica } = this;
      if (replica === null || replica.rev !== message.from || replica.epoch !== message.epoch) {
        throw new Error(`a change from ${message.from} on a replica at ${replica?.rev}`);
      }
      const routine = applyPatch(replica.routine, message.patch as Patch);
      this.replica = {
        epoch: message.epoch,
        rev: message.rev,
        routine,
        sections: merged(replica.sections, message.sections, routine),
        timing: message.timing ?? replica.timing,
        problems: applySplice(replica.problems, message.problems),
      };
    }
  }

  /** The last message of a type. */
  last<Type extends FromServer["type"]>(type: Type): ServerMessage<Type> {
    const found = this.got.findLast((message) => message.type === type);
    if (found === undefined) throw new Error(`no ${type} came, only ${this.got.map((one) => one.type)}`);
    return found as ServerMessage<Type>;
  }
  count(type: FromServer["type"]): number {
    return this.got.filter((message) => message.type === type).length;
  }
}

/** Lets everything that is due happen. */
export async function settle(): Promise<void> {
  for (let turn = 0; turn < 12; turn++) await new Promise((resolve) => setImmediate(resolve));
}
