/** A page of the load: edits one after the other, each sent again where others were faster. */
import { WebSocket } from "ws";
import { WIRE } from "../../schemas/version.ts";

export interface Where {
  readonly port: number;
  readonly bearer: string;
}

export const connect = (where: Where, path: string): WebSocket =>
  new WebSocket(`ws://127.0.0.1:${where.port}${path}`, "countercut.v1", {
    origin: `http://127.0.0.1:${where.port}`,
  });

interface Wanted {
  readonly opId: string;
  readonly edit: unknown;
  readonly since: number;
  replayed?: true;
}

export class SoakPage {
  /** When each edit was wanted, and how long its acknowledgement took; milliseconds. */
  readonly waits: { readonly since: number; readonly took: number }[] = [];
  refused = 0;
  dropped = false;
  stale = 0;
  #rev = -1;
  #wanted: Wanted[] = [];
  #flying: Wanted | null = null;
  readonly #socket: WebSocket;
  readonly #name: string;
  readonly ready: Promise<void>;

  constructor(where: Where, name: string) {
    this.#name = name;
    this.#socket = connect(where, "/live");
    this.#socket.on("open", () => {
      this.#say({ type: "hello", wire: WIRE, token: where.bearer });
      this.#say({ type: "open", ask: 1, name });
    });
    this.#socket.on("close", () => {
      this.dropped = true;
    });
    this.ready = new Promise((resolve, reject) => {
      this.#socket.on("error", reject);
      this.#socket.on("message", (data) => this.#hear(String(data), resolve));
    });
  }

  get pending(): number {
    return this.#wanted.length + (this.#flying === null ? 0 : 1);
  }

  want(opId: string, edit: unknown): void {
    this.#wanted.push({ opId, edit, since: performance.now() });
    this.#next();
  }

  end(): void {
    this.#socket.removeAllListeners("close");
    this.#socket.terminate();
  }

  #say(message: unknown): void {
    this.#socket.send(JSON.stringify(message));
  }

  #next(): void {
    if (this.#flying !== null) return;
    this.#flying = this.#wanted.shift() ?? null;
    this.#send();
  }

  #send(): void {
    if (this.#flying === null) return;
    const { opId, edit, replayed } = this.#flying;
    this.#say({ type: "edit", name: this.#name, opId, base: this.#rev, edit, replayed });
  }

  #hear(text: string, ready: () => void): void {
    const type = /^\{"type":"([^"]+)"/.exec(text)?.[1];
    if (type === "routine") {
      this.#rev = (JSON.parse(text) as { rev: number }).rev;
      ready();
    } else if (type === "changed") {
      // The whole message holds sections; a page would read them, here only the number counts.
      this.#rev = Math.max(this.#rev, Number(/"from":\d+,"rev":(\d+)/.exec(text)?.[1]));
    } else if (type === "ack" || type === "stale" || type === "refused") {
      const { opId, rev } = JSON.parse(text) as { opId: string; rev: number };
      this.#rev = Math.max(this.#rev, rev);
      if (opId !== this.#flying?.opId) return;
      if (type === "stale") {
        this.stale++;
        this.#flying.replayed = true;
        this.#send();
        return;
      }
      if (type === "refused") this.refused++;
      else {
        const { since } = this.#flying;
        this.waits.push({ since, took: performance.now() - since });
      }
      this.#flying = null;
      this.#next();
    }
  }
}
