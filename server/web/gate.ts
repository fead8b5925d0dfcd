/**
 * Who may come in. One gate stands before all routes, errors and upgrades, and before any body is read; its steps
 * stand here in their order. What it guards against: pages of other sites that the same browser shows (they can send
 * requests to this machine, and by a name of theirs that points here even read answers), and other programs.
 */
import type { IncomingMessage, ServerResponse } from "node:http";
import { SUBPROTOCOL } from "../../schemas/version.ts";
import { safeHeaders } from "./headers.ts";
import type { Admitted, Gate, Limits, Refusal, Route } from "./interfaces.ts";
import { findRoute } from "./routes.ts";
import type { Tokens } from "./tokens.ts";

const METHODS = new Set(["GET", "POST", "PUT", "PATCH", "DELETE"]);

export interface GateOptions {
  readonly port: number;
  readonly routes: readonly Route[];
  readonly tokens: Pick<Tokens, "knows">;
  readonly limits: Limits;
}

const admitted = new WeakMap<IncomingMessage, Admitted>();

/** What the gate let in. @throws where the request never passed the gate */
export function admittedOf(request: IncomingMessage): Admitted {
  const found = admitted.get(request);
  if (found === undefined) throw new Error("a request came around the gate");
  return found;
}

export const isRefusal = (found: Admitted | Refusal): found is Refusal => "status" in found;

const refuse = (status: number, code: string, message: string): Refusal => ({ status, code, message });

export function createGate({ port, routes, tokens, limits }: GateOptions): Gate {
  const hosts = new Set([`127.0.0.1:${port}`, `localhost:${port}`]);

  const check = (request: IncomingMessage, upgrade: boolean): Admitted | Refusal => {
    // 1. The protocol, and the name by which we were called.
    if (request.httpVersion !== "1.1") return refuse(505, "http-version", "Only HTTP/1.1 is answered.");
    const host = valuesOf(request, "host");
    if (host.length !== 1) return refuse(400, "host", "A request names its host once.");
    if (!hosts.has(host[0] as string)) return refuse(403, "host", "This server answers by another name.");

    // 2. The target.
    const target = request.url ?? "";
    if (!isPlainTarget(target, limits.target))
      return refuse(400, "target", "The address is not a plain one.");
    const [path = "", query = ""] = splitOnce(target, "?");

    // 3. The route.
    const method = request.method ?? "";
    if (method === "OPTIONS") return refuse(403, "method", "Other pages may not ask.");
    if (!METHODS.has(method)) return refuse(405, "method", `${method} is not answered.`);
    const found = findRoute(routes, method, path);
    if (found === null) return refuse(404, "not-found", "There is nothing at this address.");
    if (Array.isArray(found)) return refuse(405, "method", `This address answers ${found.join(", ")}.`);
    const { route, params } = found;

    // 4. and 5. Where the request comes from.
    const site = valuesOf(request, "sec-fetch-site");
    const fromHere = site.every(
      (each) => each === "same-origin" || (each === "none" && route.kind === "page"),
    );
    if (site.length > 1 || !fromHere) return refuse(403, "site", "Only this program's own page may ask.");
    const origin = valuesOf(request, "origin");
    const needed = method !== "GET" || upgrade;
    if (
      origin.length > 1 ||
      (needed && origin.length === 0) ||
      (origin[0] ?? `http://${host[0]}`) !== `http://${host[0]}`
    ) {
      return refuse(403, "origin", "Only this program's own page may ask.");
    }

    // 6. Who asks. A socket says so in its first message: a browser cannot send the header with an upgrade.
    if (route.kind === "api") {
      const given = valuesOf(request, "authorization");
      const bearer = /^Bearer ([A-Za-z0-9_-]{43})$/.exec(given[0] ?? "")?.[1];
      if (given.length !== 1 || bearer === undefined || !tokens.knows(bearer)) {
        return refuse(401, "no-bearer", "Open the link that countercut serve prints.");
      }
    }

    // 7. What the head says of the body; the rest is for whoever reads it.
    const socket = upgrade || route.kind === "socket";
    const fault = (socket ? socketFault(request, route, upgrade) : null) ?? bodyFault(request, route);
    return fault ?? { route, params, query: new URLSearchParams(query) };
  };

  return {
    check,
    admit(request, response) {
      const found = check(request, false);
      setSafeHeaders(response, port, !isRefusal(found) && found.route.hashed === true);
      if (isRefusal(found)) {
        answerRefusal(request, response, found);
        return null;
      }
      admitted.set(request, found);
      return found;
    },
    knows: (bearer) => tokens.knows(bearer),
  };
}

function setSafeHeaders(response: ServerResponse, port: number, hashed = false): void {
  for (const [name, value] of Object.entries(safeHeaders(port, hashed))) response.setHeader(name, value);
}

/** Answers with JSON. The connection ends where a body was not read, since what follows would be taken for a request. */
export function answerRefusal(request: IncomingMessage, response: ServerResponse, refusal: Refusal): void {
  const { status, code, message } = refusal;
  const body = Buffer.from(JSON.stringify({ error: { code, message } }));
  if (!request.complete) response.setHeader("Connection", "close");
  if (status === 401) response.setHeader("WWW-Authenticate", "Bearer");
  response.statusCode = status;
  response.setHeader("Content-Type", "application/json; charset=utf-8");
  response.setHeader("Content-Length", body.length);
  response.end(body);
}

/** Every value of a header as it came: Node joins or drops repeated ones. */
function valuesOf(request: IncomingMessage, name: string): string[] {
  const values: string[] = [];
  const { rawHeaders } = request;
  for (let at = 0; at + 1 < rawHeaders.length; at += 2) {
    if (rawHeaders[at]?.toLowerCase() === name) values.push(rawHeaders[at + 1] as string);
  }
  return values;
}

function isPlainTarget(target: string, longest: number): boolean {
  if (!target.startsWith("/") || target.length > longest) return false;
  if (!/^[!-~]+$/.test(target) || /[#\\]|%(?:00|2f|5c|2e)/i.test(target)) return false;
  return !/^[^?]*\/\.{1,2}(?:[/?]|$)/.test(target);
}

function splitOnce(text: string, mark: string): string[] {
  const at = text.indexOf(mark);
  return at === -1 ? [text] : [text.slice(0, at), text.slice(at + 1)];
}

function socketFault(request: IncomingMessage, route: Route, upgrade: boolean): Refusal | null {
  if (!upgrade) return refuse(426, "upgrade", "This address answers WebSockets only.");
  if (route.kind !== "socket") return refuse(400, "upgrade", "This address answers no WebSockets.");
  const kinds = valuesOf(request, "upgrade");
  if (kinds.length !== 1 || kinds[0]?.toLowerCase() !== "websocket") {
    return refuse(400, "upgrade", "Only WebSockets are answered.");
  }
  const protocols = valuesOf(request, "sec-websocket-protocol");
  if (protocols.length !== 1 || protocols[0] !== SUBPROTOCOL) {
    return refuse(400, "subprotocol", `The subprotocol is ${SUBPROTOCOL}.`);
  }
  return null;
}

function bodyFault(request: IncomingMessage, route: Route): Refusal | null {
  const { headers } = request;
  const length = headers["content-length"];
  const hasBody = headers["transfer-encoding"] !== undefined || (length !== undefined && length !== "0");
  if (route.body === undefined) {
    return hasBody ? refuse(413, "body", "This address takes no body.") : null;
  }
  const types = valuesOf(request, "content-type");
  const plain = types.length === 1 && sameType(types[0] as string, route.body.type);
  if (!plain || headers["content-encoding"] !== undefined) {
    return refuse(415, "content-type", `The body must be plain ${route.body.type}.`);
  }
  if (length !== undefined && Number(length) > route.body.largest) {
    return refuse(413, "too-large", `The body may have ${route.body.largest} bytes.`);
  }
  return null;
}

/** JSON may say that it is UTF-8, which it always is (RFC 8259, 8.1). */
const sameType = (given: string, wanted: string): boolean =>
  given.toLowerCase().replace(/^application\/json\s*;\s*charset="?utf-8"?$/, "application/json") === wanted;
