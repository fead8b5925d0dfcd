/**
 * The HTTP server with its timeouts, and with our headers also on what Node answers before a request exists: a broken
 * head, a head that is too long, a sender that is too slow, CONNECT, `Expect`.
 */
import { createServer, type RequestListener, type Server } from "node:http";
import type { Duplex } from "node:stream";
import { safeHeaders } from "./headers.ts";
import type { Limits } from "./interfaces.ts";

const REASONS: Readonly<Record<number, string>> = {
  400: "Bad Request",
  403: "Forbidden",
  404: "Not Found",
  405: "Method Not Allowed",
  408: "Request Timeout",
  426: "Upgrade Required",
  431: "Request Header Fields Too Large",
  503: "Service Unavailable",
  505: "HTTP Version Not Supported",
};

/** Answers where there is no response object, and ends the connection. */
export function answerRaw(socket: Duplex, port: number, status: number): void {
  if (!socket.writable) {
    socket.destroy();
    return;
  }
  const headers = { ...safeHeaders(port), Connection: "close", "Content-Length": "0" };
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}\r\n`);
  socket.on("error", () => socket.destroy());
  socket.end(`HTTP/1.1 ${status} ${REASONS[status] ?? "Refused"}\r\n${lines.join("")}\r\n`, () =>
    socket.destroy(),
  );
}

/** `port` is asked each time, since it is known only once the server listens. */
export function createGuardedServer(limits: Limits, port: () => number, listener: RequestListener): Server {
  const server = createServer(
    {
      headersTimeout: limits.headers,
      requestTimeout: limits.request,
      connectionsCheckingInterval: limits.checkEvery,
      maxHeaderSize: limits.head,
      // The gate counts hosts itself and answers with our headers.
      requireHostHeader: false,
      insecureHTTPParser: false,
    },
    listener,
  );
  // All are counted by the gate; how many there may be is said by the size of a head.
  server.maxHeadersCount = 0;
  server.on("clientError", (error: NodeJS.ErrnoException, socket) => {
    const status =
      error.code === "ERR_HTTP_REQUEST_TIMEOUT" ? 408 : error.code === "HPE_HEADER_OVERFLOW" ? 431 : 400;
    answerRaw(socket, port(), status);
  });
  server.on("connect", (_request, socket) => answerRaw(socket, port(), 405));
  // The gate answers first; whoever reads the body gets it, since a client goes on after a second without an answer.
  server.on("checkContinue", (request, response) => {
    request.once("resume", () => {
      if (!response.headersSent) response.writeContinue();
    });
    listener(request, response);
  });
  server.on("checkExpectation", listener);
  return server;
}
