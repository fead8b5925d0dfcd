/**
 * What the page does while most of it is still being loaded: it comes in, opens its socket and asks for the routine.
 * What the server says meanwhile is kept until somebody can read it (connection.ts). It needs nothing of the rest, so
 * that it runs as soon as a few thousand bytes are there.
 */
import type { FromPage, ServerMessage } from "../../schemas/wire.ts";
import { bearer, type Entered, exchanged } from "./bearer.ts";
import { helloOf, openSocket } from "./socket.ts";
import { LAST_ROUTINE, read } from "./stored.ts";

export interface Early {
  readonly socket: WebSocket;
  readonly token: string;
  /** What came, not looked at but for the first. */
  readonly texts: string[];
  /** The routine that was asked for. */
  asked: string | null;
}
/** The number of that question. */
export const EARLY_ASK = 1;

/** The routine that a page begins with: the one it had last, or the one that was changed last, which stands ready. */
export function firstOf(
  routines: readonly { readonly name: string; readonly modified: number }[],
  had: unknown,
) {
  const last = routines.find(({ name }) => name === had);
  return last ?? [...routines].sort((a, b) => b.modified - a.modified)[0];
}

let early: Early | null = null;
/** @returns the socket that was opened early, the first time it is asked for, while it is of use */
export function takeEarly(): Early | null {
  const taken = early;
  early = null;
  return taken !== null && taken.socket.readyState <= WebSocket.OPEN ? taken : null;
}

let asked = (): void => {};
/** Resolves once the routine was asked for, or will not be: from then on the page may be busy with something else. */
export const askedFor = new Promise<void>((resolve) => {
  asked = resolve;
});

function begin(): void {
  const socket = openSocket("/live");
  const begun: Early = { socket, token: bearer(), texts: [], asked: null };
  early = begun;
  socket.onopen = () => socket.send(helloOf(begun.token));
  socket.onmessage = ({ data }) => {
    begun.texts.push(String(data));
    if (begun.texts.length > 1) return;
    const first = JSON.parse(String(data)) as Partial<ServerMessage<"welcome">>;
    const name = firstOf(first.routines ?? [], read(LAST_ROUTINE))?.name;
    asked();
    if (name === undefined) return;
    begun.asked = name;
    socket.send(JSON.stringify({ type: "open", ask: EARLY_ASK, name } satisfies FromPage));
  };
}

let entered: Promise<Entered> | null = null;
/** Resolves once it is known whether this browser may come in; its first call begins. */
export function comeIn(): Promise<Entered> {
  entered ??= exchanged().then((how) => {
    if (how === "in") begin();
    else asked();
    return how;
  });
  return entered;
}
