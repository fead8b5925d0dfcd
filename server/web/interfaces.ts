/** What the gate asks of the routes behind it, and what the socket door hands over. */
import type { IncomingMessage, ServerResponse } from "node:http";

/**
 * A route that exists. A path segment `:name` stands for one segment, percent-decoded and valid Unicode (what it
 * means is the route's own check). Nothing that is not on the list is answered.
 */
export interface Route {
  readonly method: "GET" | "POST" | "PUT" | "PATCH" | "DELETE";
  readonly path: string;
  /**
   * `shell`: one of the page's own files, answered without a bearer. `page`: likewise, and may be opened from the
   * address bar. `open`: answered without a bearer (the exchange of a link). `api`: needs a bearer. `socket`: an
   * upgrade to a WebSocket; authenticates in its first message.
   */
  readonly kind: "shell" | "page" | "open" | "api" | "socket";
  /** For methods with a body: its exact content type and largest size in bytes. Without it a body is refused. */
  readonly body?: { readonly type: string; readonly largest: number };
  /** The answer may be kept for ever: its name holds its hash. */
  readonly hashed?: boolean;
}

export interface Admitted {
  readonly route: Route;
  readonly params: Readonly<Record<string, string>>;
  /** The target's query; the last of equal names counts. */
  readonly query: URLSearchParams;
}

export interface Refusal {
  readonly status: number;
  /** Machine-readable: `no-bearer`, `wrong-host`, … */
  readonly code: string;
  /** A sentence for people. */
  readonly message: string;
}

export interface Gate {
  /** Steps 1 to 6 and the headers of step 7; looks only at the head of the request. */
  check(request: IncomingMessage, upgrade: boolean): Admitted | Refusal;
  /**
   * Check, and put the headers that belong on every response. Where it refuses, it has answered and returns null.
   * Usable as express middleware: `app.use((q, s, next) => { if (gate.admit(q, s)) next(); })`, then
   * `admittedOf(q)` gives what was admitted.
   */
  admit(request: IncomingMessage, response: ServerResponse): Admitted | null;
  /** Whether a bearer is known. */
  knows(bearer: string): boolean;
}

/** One authenticated WebSocket. */
export interface Connection {
  readonly id: number;
  /** The path that it was opened on, for example "/live" or "/sound". */
  readonly path: string;
  /** The first message, the one with the token, as it came. */
  readonly hello: string;
  /** Bytes that wait for the client. */
  readonly waiting: number;
  /**
   * Text as a string, binary as bytes; bytes that are UTF-8 text where `text` is true: several connections then share
   * them. More than 1 MiB waiting ends the connection. `left` is called once the bytes are the system's, or are not
   * wanted any more: their memory may then hold something else. @returns whether still open
   */
  send(data: string | Uint8Array, text?: boolean, left?: () => void): boolean;
  /** 1000 done, 1008 against the rules, 1011 our fault, 4000 to 4999 our own. */
  close(code: number, reason: string): void;
  /** Messages after the first, in order. Set in `onClient`, before it returns. */
  onMessage: (data: string | Uint8Array) => void;
  onClose: () => void;
}

/** Every number that keeps a hostile or broken client within bounds. */
export interface Limits {
  /** Milliseconds. */
  readonly headers: number;
  readonly request: number;
  readonly checkEvery: number;
  /** Bytes of one request's head. */
  readonly head: number;
  /** Bytes of a request's target. */
  readonly target: number;
  /** Levels of arrays and objects in a JSON body or message. */
  readonly depth: number;
  /** Bytes of one WebSocket message. */
  readonly message: number;
  /** WebSocket messages, pings included, in any one second. */
  readonly messagesPerSecond: number;
  /** Frames of one message. */
  readonly fragments: number;
  readonly sockets: number;
  readonly unauthenticated: number;
  /** Milliseconds a socket may take for its first message. */
  readonly hello: number;
  /** Milliseconds between pings, and of silence before a connection is ended. */
  readonly ping: number;
  readonly silence: number;
  /** Bytes that may wait for a client. */
  readonly waiting: number;
}
