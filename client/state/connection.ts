/**
 * The socket /live: says hello, comes back after a break, numbers questions, hands every message that parses to
 * those who listen. Knows nothing of what the messages mean.
 */
import { signal } from "@preact/signals";
import { WIRE } from "../../schemas/version.ts";
import { type FromPage, FromServer, type ServerMessage } from "../../schemas/wire.ts";
import { shutOut } from "./access.ts";
import { bearer } from "./bearer.ts";
import { EARLY_ASK, takeEarly } from "./early.ts";
import { helloOf, openSocket } from "./socket.ts";

export type Link = "connecting" | "open" | "offline" | "other-version";
export const link = signal<Link>("connecting");

type Listener = (message: FromServer) => void;
const listeners = new Set<Listener>();
const waiting = new Map<number, { resolve(message: FromServer): void; reject(error: Error): void }>();

let socket: WebSocket | null = null;
let tries = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
let lastAsk = EARLY_ASK;
/** The routine that was asked for before this was loaded, until its answer is waited for. */
let askedEarly: string | null = null;

/** @returns the way to stop listening */
export function listen(listener: Listener): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** @returns false where there is no connection: nothing is kept here. */
export function send(message: FromPage): boolean {
  if (socket === null || socket.readyState !== WebSocket.OPEN || link.value !== "open") return false;
  socket.send(JSON.stringify(message));
  return true;
}

type Question = Extract<FromPage, { ask: number }>;
type Unasked<Message> = Message extends { ask: number } ? Omit<Message, "ask"> : never;
export class Sorry extends Error {}

/**
 * Asks, and waits for the answer with the same number.
 * @param signal ends work that takes long: the server then breaks off and is sorry
 * @throws Sorry with the server's sentence, or without link
 */
export function ask<Type extends FromServer["type"]>(
  question: Unasked<Question>,
  signal?: AbortSignal,
): Promise<ServerMessage<Type>> {
  lastAsk += 1;
  const message = { ...question, ask: lastAsk } as Question;
  const end = (): void => {
    if (waiting.has(message.ask)) send({ type: "find-cancel", ask: message.ask });
  };
  signal?.addEventListener("abort", end, { once: true });
  return new Promise((resolve, reject) => {
    if (!send(message)) {
      reject(new Sorry("There is no connection to the server. Wait until it is back, then try again."));
      return;
    }
    waiting.set(message.ask, { resolve: resolve as (message: FromServer) => void, reject });
  });
}

/** As `ask` for opening a routine; where that was asked early, its answer is on its way. */
export function askToOpen(question: Omit<Extract<FromPage, { type: "open" }>, "ask" | "type">) {
  const early = askedEarly === question.name && question.have === undefined;
  askedEarly = null;
  if (!early) return ask<"routine" | "done">({ type: "open", ...question });
  return new Promise<unknown>((resolve, reject) => waiting.set(EARLY_ASK, { resolve, reject }));
}

export function connect(): void {
  clearTimeout(timer);
  if (link.value !== "open") link.value = tries === 0 ? "connecting" : "offline";
  const early = takeEarly();
  const opening = early?.socket ?? openSocket("/live");
  socket = opening;
  const token = early?.token ?? bearer();
  askedEarly = early?.asked ?? null;
  if (early === null) opening.onopen = () => opening.send(helloOf(token));
  opening.onmessage = ({ data }) => receive(String(data));
  opening.onclose = ({ code, reason }) => {
    if (socket !== opening) return;
    socket = null;
    for (const { reject } of waiting.values())
      reject(new Sorry("The connection to the server broke. Wait until it is back, then try again."));
    waiting.clear();
    if (code === 1008 && link.value !== "open" && reason === "not let in" && shutOut(token)) return;
    if (code === 4001) link.value = "other-version";
    if (link.value === "other-version") return;
    link.value = "offline";
    const pause = Math.min(8000, 250 * 2 ** tries);
    tries += 1;
    timer = setTimeout(connect, pause);
  };
  for (const text of early?.texts ?? []) receive(text);
}

function receive(text: string): void {
  const parsed = FromServer.safeParse(JSON.parse(text));
  if (!parsed.success) {
    console.error("A message of the server was not understood.", parsed.error.issues.slice(0, 3));
    return;
  }
  const message = parsed.data;
  if (message.type === "welcome") {
    if (message.wire !== WIRE) {
      link.value = "other-version";
      socket?.close();
      return;
    }
    tries = 0;
    link.value = "open";
  }
  for (const listener of [...listeners]) listener(message);
  if ("ask" in message && typeof message.ask === "number" && message.type !== "find-progress") {
    const asked = waiting.get(message.ask);
    waiting.delete(message.ask);
    if (message.type === "sorry") asked?.reject(new Sorry(message.message));
    else asked?.resolve(message);
  }
}
