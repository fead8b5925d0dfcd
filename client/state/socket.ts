/** Sockets to this page's own server, and how they begin. */
import type { FromPage } from "../../schemas/wire.ts";
import { SUBPROTOCOL, WIRE } from "../../schemas/version.ts";

export const socketAddress = (path: string): string => `ws://${location.host}${path}`;

/** A socket to one of the server's paths, in our subprotocol. */
export const openSocket = (path: string): WebSocket => new WebSocket(socketAddress(path), SUBPROTOCOL);

/** The first message on `/live`. */
export const helloOf = (token: string): string =>
  JSON.stringify({ type: "hello", wire: WIRE, token } satisfies FromPage);
