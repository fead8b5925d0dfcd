/** A server behind the gate on a real socket, and raw requests to it. */
import type { Server } from "node:http";
import { type AddressInfo, connect } from "node:net";
import { gzipSync } from "node:zlib";
import { readJson } from "../../server/web/body.ts";
import { attachDoor, type Door } from "../../server/web/door.ts";
import { answerRefusal, createGate } from "../../server/web/gate.ts";
import type { Connection, Gate, Limits, Route } from "../../server/web/interfaces.ts";
import { LIMITS } from "../../server/web/limits.ts";
import { BodyError } from "../../server/web/safeJson.ts";
import { createGuardedServer } from "../../server/web/server.ts";
import { openTokens, type Tokens } from "../../server/web/tokens.ts";

export const ROUTES: readonly Route[] = [
  { method: "GET", path: "/", kind: "page" },
  { method: "GET", path: "/assets/page-1a2b3c.js", kind: "shell", hashed: true },
  { method: "POST", path: "/session", kind: "open", body: { type: "application/json", largest: 1_024 } },
  { method: "GET", path: "/api/routines", kind: "api" },
  { method: "GET", path: "/api/routines/:name", kind: "api" },
  { method: "POST", path: "/api/routines", kind: "api", body: { type: "application/json", largest: 65_536 } },
  { method: "GET", path: "/live", kind: "socket" },
];

export interface Rig {
  readonly server: Server;
  readonly port: number;
  readonly tokens: Tokens;
  readonly bearer: string;
  readonly door: Door;
  readonly clients: Connection[];
  close(): Promise<void>;
}

export async function startRig(limits: Partial<Limits> = {}, now?: () => number): Promise<Rig> {
  const all = { ...LIMITS, ...limits };
  const tokens = await openTokens({ settings: null, ...(now === undefined ? {} : { now }) });
  let gate: Gate;
  const server = createGuardedServer(
    all,
    () => (server.address() as AddressInfo).port,
    async (request, response) => {
      const found = gate.admit(request, response);
      if (found === null) return;
      try {
        const body = found.route.body === undefined ? undefined : await readJson(request, all.depth);
        if (found.route.path === "/session") {
          const bearer = await tokens.exchange(String((body as { token?: unknown }).token));
          if (bearer === null) throw new BodyError(401, "link-expired", "The link has expired.");
          response.end(JSON.stringify({ bearer }));
        } else response.end(JSON.stringify({ params: found.params, body }));
      } catch (error) {
        if (!(error instanceof BodyError)) throw error;
        answerRefusal(request, response, error.refusal);
      }
    },
  );
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  gate = createGate({ port, routes: ROUTES, tokens, limits: all });
  const clients: Connection[] = [];
  const door = attachDoor(
    server,
    () => port,
    gate,
    all,
    (client) => {
      client.onMessage = (data) => client.send(data);
      clients.push(client);
    },
  );
  const bearer = (await tokens.exchange(tokens.link())) as string;
  return {
    server,
    port,
    tokens,
    bearer,
    door,
    clients,
    close: () => {
      door.close();
      server.closeAllConnections();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
}

/**
 * Sends bytes as they are, and listens until the server closed, `wait` milliseconds went by, or what came is enough.
 * @returns all that came, and whether the server closed
 */
export function exchange(
  port: number,
  bytes: string | Uint8Array,
  wait: number,
  isEnough: (said: string) => boolean = () => false,
): Promise<{ readonly said: string; readonly closed: boolean }> {
  return new Promise((resolve) => {
    let said = "";
    const socket = connect(port, "127.0.0.1", () => socket.write(bytes));
    const done = (closed: boolean): void => {
      clearTimeout(timer);
      socket.destroy();
      resolve({ said, closed });
    };
    const timer = setTimeout(() => done(false), wait);
    socket.setEncoding("latin1");
    socket.on("data", (part: string) => {
      said += part;
      if (isEnough(said)) done(false);
    });
    socket.on("error", () => done(true));
    socket.on("close", () => done(true));
  });
}

/** A whole answer of a kept connection. */
function isWhole(said: string): boolean {
  const length = /content-length: (\d+)/i.exec(said)?.[1];
  const head = said.indexOf("\r\n\r\n");
  return head !== -1 && length !== undefined && said.length >= head + 4 + Number(length);
}

/** @returns a whole answer, or all that came until the server closed, or `wait` milliseconds went by */
export const send = async (port: number, bytes: string | Uint8Array, wait = 3_000): Promise<string> =>
  (await exchange(port, bytes, wait, isWhole)).said;

export const statusOf = (answer: string): number => Number(/^HTTP\/1\.1 (\d{3})/.exec(answer)?.[1] ?? 0);

export interface Asked {
  /** In place of method, target and version. */
  readonly line?: string;
  readonly method?: string;
  readonly target?: string;
  readonly version?: string;
  /** In place of the usual ones where a name is the same; null leaves one out. */
  readonly headers?: Readonly<Record<string, string | null>>;
  readonly more?: readonly string[];
  readonly body?: string | Uint8Array;
}

/** A request as our own page would send it, but for what is asked. */
export function requestBytes(rig: Pick<Rig, "port" | "bearer">, asked: Asked): Buffer {
  const { method = "GET", target = "/api/routines", version = "1.1", more = [], body } = asked;
  const { line = `${method} ${target} HTTP/${version}` } = asked;
  const headers: Record<string, string | null> = {
    Host: `127.0.0.1:${rig.port}`,
    Origin: `http://127.0.0.1:${rig.port}`,
    "Sec-Fetch-Site": "same-origin",
    Authorization: `Bearer ${rig.bearer}`,
    ...(body === undefined
      ? {}
      : { "Content-Type": "application/json", "Content-Length": String(body.length) }),
    ...asked.headers,
  };
  const lines = Object.entries(headers).flatMap(([name, value]) =>
    value === null ? [] : `${name}: ${value}`,
  );
  const head = [line, ...lines, ...more].join("\r\n");
  return Buffer.concat([Buffer.from(`${head}\r\n\r\n`, "latin1"), Buffer.from(body ?? "")]);
}

export const zipped = (size: number): Buffer => gzipSync(Buffer.alloc(size, 32));
