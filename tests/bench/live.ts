/** How long an edit takes from a page until it is acknowledged, durable on disk, while sound plays. */
import { spawn } from "node:child_process";
import { mkdtemp, open, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { WebSocket } from "ws";
import { readHead } from "../../schemas/soundBlock.ts";
import { SOUND_WIRE } from "../../schemas/soundBlock.ts";
import { SUBPROTOCOL, WIRE } from "../../schemas/version.ts";
import type { BenchRow } from "./row.ts";

const MAIN = fileURLToPath(new URL("../../dist/server/cli/main.js", import.meta.url));
const DEMO = "Night Ferry";

/** A real server in a process of its own. */
async function start(folder: string) {
  const env = { ...process.env, XDG_CONFIG_HOME: join(folder, ".config") };
  const child = spawn(process.execPath, [MAIN, "serve", join(folder, "routines"), "--port", "0"], { env });
  const printed = await new Promise<string>((resolve, reject) => {
    let text = "";
    child.stdout.on("data", (data) => {
      text += data;
      if (text.includes("#t=")) resolve(text);
    });
    child.once("exit", () => reject(new Error("the server ended")));
  });
  const [, address, token] = /(http:\/\/[^/]+)\/#t=(\S+)/.exec(printed) as RegExpExecArray;
  const answer = await fetch(`${address}/session`, {
    method: "POST",
    headers: { origin: address as string, "content-type": "application/json" },
    body: JSON.stringify({ token }),
  });
  const { bearer } = (await answer.json()) as { bearer: string };
  const stop = (): Promise<unknown> => {
    const ended = new Promise((resolve) => child.once("exit", resolve));
    child.kill("SIGINT");
    return ended;
  };
  return { address: address as string, bearer, stop };
}
type Server = Awaited<ReturnType<typeof start>>;

async function connect({ address, bearer }: Server, path: string, wire: number): Promise<WebSocket> {
  const socket = new WebSocket(`${address.replace("http", "ws")}${path}`, SUBPROTOCOL, { origin: address });
  await new Promise((resolve, reject) => socket.once("open", resolve).once("error", reject));
  socket.send(JSON.stringify({ type: "hello", wire, token: bearer }));
  return socket;
}

/** A page on a routine: `edit` resolves with milliseconds until the acknowledgement, made again once where stale. */
async function page(server: Server, name: string) {
  const socket = await connect(server, "/live", WIRE);
  const waiting = new Map<string, (message: { type: string }) => void>();
  const asked = new Map<number, () => void>();
  let rev = -1;
  let opened = (): void => {};
  const ready = new Promise<void>((resolve) => {
    opened = resolve;
  });
  socket.on("message", (data: Buffer) => {
    const message = JSON.parse(data.toString());
    if (message.type === "routine" || message.type === "changed") rev = message.rev;
    if (message.type === "routine") opened();
    if (message.type === "done") asked.get(message.ask)?.();
    if (message.opId !== undefined) waiting.get(message.opId)?.(message);
    if (message.type === "sorry") throw new Error(message.message);
  });
  const say = (message: object): void => socket.send(JSON.stringify(message));
  let ops = 0;
  const id = Math.random().toString(36).slice(2);
  return {
    /** Resolves once it is done. */
    ask(message: { readonly type: string; readonly ask: number; readonly [field: string]: unknown }) {
      say(message);
      return new Promise<void>((resolve) => asked.set(message.ask, resolve));
    },
    open: () => {
      say({ type: "open", ask: 1, name });
      return ready;
    },
    async edit(tempo: number): Promise<{ readonly took: number; readonly stale: boolean }> {
      const edit = { kind: "change-section", id: "cast-off", set: { tempo } };
      const sent = performance.now();
      const answerTo = async (more: object): Promise<string> => {
        const opId = `${id}-${++ops}-op`;
        const answer = new Promise<{ type: string }>((resolve) => waiting.set(opId, resolve));
        say({ type: "edit", name, opId, base: rev, edit, ...more });
        const { type } = await answer;
        waiting.delete(opId);
        return type;
      };
      const first = await answerTo({});
      const last = first === "stale" ? await answerTo({ replayed: true }) : first;
      if (last !== "ack") throw new Error(`an edit was answered ${last}`);
      return { took: performance.now() - sent, stale: first === "stale" };
    },
  };
}

/** One after the other: only a few may stand at the door at a time. */
async function opened(server: Server, names: readonly string[]) {
  const pages: Awaited<ReturnType<typeof page>>[] = [];
  for (const name of names) {
    const one = await page(server, name);
    await one.open();
    pages.push(one);
  }
  return pages;
}

/** Plays as a page does, in real time. @returns blocks that came later than they were due */
async function player(server: Server, name: string) {
  const socket = await connect(server, "/sound", SOUND_WIRE);
  let arrived = 0;
  let late = 0;
  socket.on("message", (data: Buffer, binary) => {
    if (!binary) return;
    const head = readHead(new DataView(data.buffer, data.byteOffset, data.length));
    if (head !== null) arrived = Math.max(arrived, head.first + head.frames);
  });
  const clicks = { beat: false, record: false, fader: false };
  const material = { kind: "open", name };
  const from = null;
  socket.send(
    JSON.stringify({ type: "play", play: 1, material, from, loop: null, speed: 1, countIn: 0, clicks }),
  );
  while (arrived === 0) await new Promise((resolve) => setTimeout(resolve, 1));
  const began = performance.now();
  const timer = setInterval(() => {
    const heard = Math.floor((performance.now() - began) * 48);
    if (heard > arrived) late++;
    socket.send(
      JSON.stringify({ type: "heard", play: 1, frames: Math.min(heard, arrived), underruns: late }),
    );
  }, 20);
  return () => {
    clearInterval(timer);
    socket.close();
    return late;
  };
}

/** Each page edits so many times a second for so many seconds. */
async function load(pages: readonly Awaited<ReturnType<typeof page>>[], each: number, seconds: number) {
  const times: number[] = [];
  let stale = 0;
  const began = performance.now();
  const count = each * seconds;
  await Promise.all(
    pages.map(async (one, index) => {
      for (let n = 0; n < count; n++) {
        const due = began + ((n + index / pages.length) * 1000) / each;
        const wait = due - performance.now();
        if (wait > 0) await new Promise((resolve) => setTimeout(resolve, wait));
        const { took, stale: late } = await one.edit(60 + ((n * 7 + index) % 300) / 2);
        if (late) stale++;
        times.push(took);
      }
    }),
  );
  return { times: times.sort((a, b) => a - b), stale, seconds: (performance.now() - began) / 1000 };
}

/** Milliseconds of appending a line to a file and flushing it, nothing else. */
async function bareFlush(folder: string): Promise<number> {
  const handle = await open(join(folder, "flush"), "a");
  const times: number[] = [];
  for (let n = 0; n < 200; n++) {
    const began = performance.now();
    await handle.write(`${"x".repeat(400)}\n`);
    await handle.datasync();
    times.push(performance.now() - began);
  }
  await handle.close();
  return part(
    times.sort((a, b) => a - b),
    0.99,
  );
}

const part = (sorted: readonly number[], of: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * of))] as number;

export async function bench(): Promise<BenchRow[]> {
  const folder = await mkdtemp(join(tmpdir(), "countercut-bench-"));
  const server = await start(folder);
  try {
    const flush = await bareFlush(folder);
    const row = (what: string, result: Awaited<ReturnType<typeof load>>, goal: string): BenchRow => {
      const slow = part(result.times, 0.99);
      const rate = Math.round(result.times.length / result.seconds);
      return {
        what: `${what}: acknowledged, 99th percentile (${rate} a second, ${result.stale} stale)`,
        figure: `${slow.toFixed(1)} ms`,
        against: `flush alone ${flush.toFixed(1)} ms`,
        ratio: `${(slow / flush).toFixed(1)}×`,
        goal,
      };
    };
    const tabs = await opened(
      server,
      Array.from({ length: 5 }, () => DEMO),
    );
    const stop = await player(server, DEMO);
    const few = await load(tabs, 40, 10);
    const late = stop();
    const first = tabs[0] as (typeof tabs)[number];
    const names = Array.from({ length: 50 }, (_, index) => `Copy ${index}`);
    for (const [index, name] of names.entries())
      await first.ask({ type: "copy", ask: index + 2, name: DEMO, to: name });
    const many = await opened(server, names);
    const crowd = await load(many, 40, 5);
    return [
      row(`5 pages on one routine, sound playing (${late} blocks late)`, few, "under 25 ms"),
      row("50 pages on 50 routines", crowd, "under 50 ms"),
    ];
  } finally {
    await server.stop();
    await rm(folder, { recursive: true });
  }
}
