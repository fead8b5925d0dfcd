/** A server as it is served, on a folder of its own in the system's place for temporary files. */
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { WebSocket } from "ws";
import { SUBPROTOCOL } from "../../schemas/version.ts";
import { createClipWork } from "../../server/jobs/clipWorkers.ts";
import { createJobs } from "../../server/jobs/jobWorkers.ts";
import { SoundBank } from "../../server/live/soundBank.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { createHeard } from "../../server/sound/heardWorkers.ts";
import { type RenderWav, renderWav as renderInThread } from "../../server/sound/renderWorkers.ts";
import { drumsInWorker } from "../../server/sound/tableWorkers.ts";
import { buildTables } from "../../server/sound/tables.ts";
import { openFolder } from "../../server/store/folder.ts";
import { serve } from "../../server/web/serve.ts";
import { openTokens } from "../../server/web/tokens.ts";

export const NAME = DEMO.title;

/** A thread needs JavaScript: the build is made before the tests. */
const script = new URL("../../dist/server/sound/render.worker.js", import.meta.url);
const tables = new URL("../../dist/server/sound/tables.worker.js", import.meta.url);
const heard = createHeard(new URL("../../dist/server/sound/heard.worker.js", import.meta.url));
const renderWav: RenderWav = (job) => renderInThread(job, script);

export async function startServer(text = writeRoutine(DEMO)) {
  const path = await mkdtemp(join(tmpdir(), "countercut-web-"));
  const folder = await openFolder(path, { lock: null });
  await folder.create(NAME, text);
  const tokens = await openTokens({ settings: null });
  // The tables of a tenth of a second instead of the sample's: they are made at once, in this thread.
  const short = { rate: 48_000, channels: [new Float32Array(4_800).fill(0.5)] };
  const bank = new SoundBank(
    async () => buildTables(short, { repeatSeconds: 0.1, cueSeconds: 0 }),
    (strokes, signal) => drumsInWorker(strokes, { signal, script: tables }),
  );
  const pages = [
    { path: "/", type: "text/html; charset=utf-8", bytes: Buffer.from("<!doctype html>"), hashed: false },
  ];
  const jobs = createJobs(new URL("../../dist/server/jobs/jobs.worker.js", import.meta.url));
  const clipWork = createClipWork(new URL("../../dist/server/jobs/clips.worker.js", import.meta.url));
  const running = await serve({ folder, tokens, port: 0, pages, bank, renderWav, heard, jobs, clipWork });
  const { address } = running;

  async function enter(): Promise<string> {
    const token = running.link().split("#t=")[1];
    const answer = await fetch(`${address}/session`, {
      method: "POST",
      headers: { origin: address, "content-type": "application/json" },
      body: JSON.stringify({ token }),
    });
    return ((await answer.json()) as { bearer: string }).bearer;
  }
  const bearer = await enter();

  return {
    path,
    address,
    bearer,
    live: running.live,
    fetch: (route: string, init: RequestInit = {}) =>
      fetch(`${address}/routines/${encodeURIComponent(NAME)}${route}`, {
        ...init,
        headers: { origin: address, authorization: `Bearer ${bearer}`, ...init.headers },
      }),
    socket: (route: string) => openSocket(address, route, bearer),
    async close() {
      await running.close();
      await rm(path, { recursive: true });
    },
  };
}

/** A socket with what came through it, and a way to wait for more. */
async function openSocket(address: string, route: string, bearer: string) {
  const socket = new WebSocket(`${address.replace("http", "ws")}${route}`, SUBPROTOCOL, { origin: address });
  const got: (Record<string, unknown> | Buffer)[] = [];
  const waiting: (() => void)[] = [];
  socket.on("message", (data: Buffer, binary) => {
    got.push(binary ? data : JSON.parse(data.toString()));
    for (const look of waiting.splice(0)) look();
  });
  await new Promise((resolve, reject) => socket.once("open", resolve).once("error", reject));
  const say = (message: object): void => socket.send(JSON.stringify(message));
  say({ type: "hello", wire: 1, token: bearer });
  return {
    got,
    say,
    /** What is found in the first message that fits, come already or yet to come. */
    async until<Found>(
      fits: (message: Record<string, unknown> | Buffer) => Found | undefined,
    ): Promise<Found> {
      for (;;) {
        for (const message of got) {
          const found = fits(message);
          if (found !== undefined) return found;
        }
        await new Promise<void>((resolve) => waiting.push(resolve));
      }
    },
    ofType(type: string) {
      return this.until((message) =>
        !Buffer.isBuffer(message) && message.type === type ? message : undefined,
      );
    },
    close: () => socket.close(),
  };
}
