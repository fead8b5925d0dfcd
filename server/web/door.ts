/** The door for WebSockets: what comes through is authenticated and keeps to the limits. */
import type { IncomingMessage, Server } from "node:http";
import type { Duplex } from "node:stream";
import { type RawData, type WebSocket, WebSocketServer } from "ws";
import { BodyError, safeJson } from "./safeJson.ts";
import { SUBPROTOCOL } from "../../schemas/version.ts";
import { isRefusal } from "./gate.ts";
import type { Connection, Gate, Limits } from "./interfaces.ts";
import { answerRaw } from "./server.ts";

const RULES_BROKEN = 1008;

export interface Door {
  /** Sockets that are open, authenticated or not. */
  readonly open: number;
  /** Ends all connections. */
  close(): void;
}

export function attachDoor(
  server: Server,
  port: () => number,
  gate: Gate,
  limits: Limits,
  onClient: (connection: Connection) => void,
): Door {
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: limits.message,
    maxFragments: limits.fragments,
    perMessageDeflate: false,
    // Answered below, where floods are counted: the library ends a flood of pings without saying why.
    autoPong: false,
    clientTracking: true,
    handleProtocols: () => SUBPROTOCOL,
  });
  let strangers = 0;
  let ids = 0;

  server.on("upgrade", (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    socket.on("error", () => socket.destroy());
    const found = gate.check(request, true);
    if (isRefusal(found)) return answerRaw(socket, port(), found.status);
    if (sockets.clients.size >= limits.sockets || strangers >= limits.unauthenticated) {
      return answerRaw(socket, port(), 503);
    }
    sockets.handleUpgrade(request, socket, head, (client) => {
      strangers++;
      let stranger = true;
      const known = (): void => {
        if (stranger) strangers--;
        stranger = false;
      };
      client.once("close", known);
      greet(client, socket, found.route.path, gate, limits, ++ids, (connection) => {
        known();
        onClient(connection);
      });
    });
  });
  sockets.on("wsClientError", (_error, socket) => answerRaw(socket, port(), 400));

  return {
    get open() {
      return sockets.clients.size;
    },
    close() {
      for (const client of sockets.clients) client.terminate();
      sockets.close();
    },
  };
}

function greet(
  client: WebSocket,
  socket: Duplex,
  path: string,
  gate: Gate,
  limits: Limits,
  id: number,
  welcome: (connection: Connection) => void,
): void {
  let connection: Connection | null = null;
  let heard = performance.now();
  let second = heard;
  let count = 0;
  let together = false;

  const uncork = (): void => {
    if (together) socket.uncork();
    together = false;
  };
  /** Messages that follow each other leave in one piece: a change, and the answer to the edit that it came of. */
  const sendTogether = (): void => {
    if (together) return;
    together = true;
    socket.cork();
    process.nextTick(uncork);
  };
  const end = (code: number, reason: string): void => {
    client.close(code, reason);
    // One that does not answer the closing is not waited for.
    setTimeout(() => client.terminate(), 1_000).unref();
  };
  /** Counts what came; more than the limit in one second ends the connection. */
  const withinRate = (): boolean => {
    heard = performance.now();
    if (heard - second >= 1_000) {
      second = heard;
      count = 0;
    }
    if (++count <= limits.messagesPerSecond) return true;
    if (client.readyState === client.OPEN) end(RULES_BROKEN, "too many messages");
    return false;
  };

  const late = setTimeout(() => end(RULES_BROKEN, "no hello in time"), limits.hello);
  const beat = setInterval(() => {
    if (performance.now() - heard > limits.silence) client.terminate();
    else if (client.readyState === client.OPEN) client.ping();
  }, limits.ping);

  // The library closes with the code that fits the fault: 1002, 1007, 1008 or 1009.
  client.on("error", () => undefined);
  client.on("ping", (data: Buffer) => {
    if (withinRate() && client.readyState === client.OPEN) client.pong(data);
  });
  client.on("pong", withinRate);
  client.on("close", () => {
    clearTimeout(late);
    clearInterval(beat);
    connection?.onClose();
  });
  client.on("message", (raw: RawData, binary: boolean) => {
    if (client.readyState !== client.OPEN || !withinRate()) return;
    const bytes = raw as Buffer;
    const data = binary ? new Uint8Array(bytes) : bytes.toString("utf8");
    if (connection !== null) return connection.onMessage(data);
    if (typeof data !== "string" || !gate.knows(tokenOf(data, limits.depth))) {
      return end(RULES_BROKEN, "not let in");
    }
    clearTimeout(late);
    connection = {
      id,
      path,
      hello: data,
      get waiting() {
        return client.bufferedAmount;
      },
      send(message, text = typeof message === "string", left) {
        if (client.readyState !== client.OPEN) return false;
        // Measured before it is sent: a whole routine may be larger than the limit, and is no queue.
        if (client.bufferedAmount > limits.waiting) {
          client.terminate();
          return false;
        }
        sendTogether();
        client.send(message, { binary: !text }, left);
        // A block of sound waits for none that is rendered after it.
        if (!text) uncork();
        return true;
      },
      close: end,
      onMessage: () => undefined,
      onClose: () => undefined,
    };
    welcome(connection);
  });
}

/** The first message's `token`, or nothing that is known. */
function tokenOf(text: string, depth: number): string {
  try {
    const hello = safeJson(text, depth) as { token?: unknown } | null;
    return typeof hello?.token === "string" ? hello.token : "";
  } catch (error) {
    if (error instanceof BodyError) return "";
    throw error;
  }
}
