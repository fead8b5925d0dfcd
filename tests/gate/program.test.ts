import { mkdir, mkdtemp, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { WebSocket } from "ws";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { WIRE } from "../../schemas/version.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { createClipWork } from "../../server/jobs/clipWorkers.ts";
import { createJobs } from "../../server/jobs/jobWorkers.ts";
import { openFolder } from "../../server/store/folder.ts";
import { readPages } from "../../server/web/pages.ts";
import { type Running, serve } from "../../server/web/serve.ts";
import { openTokens } from "../../server/web/tokens.ts";
import { type Asked, requestBytes, send, statusOf } from "./rig.ts";

let path: string;
let running: Running;
let bearer: string;
beforeAll(async () => {
  path = await mkdtemp(join(tmpdir(), "program-"));
  await mkdir(join(path, "routines"));
  await mkdir(join(path, "pages"));
  await writeFile(join(path, "pages", "index.html"), "<!doctype html>");
  await writeFile(join(path, "secret.js"), "secret");
  await symlink(join(path, "secret.js"), join(path, "pages", "out.js"));
  const folder = await openFolder(join(path, "routines"));
  await folder.create("Night Ferry", writeRoutine(DEMO));
  await folder.create("Caf\u00e9", writeRoutine(DEMO));
  const tokens = await openTokens({ settings: null });
  bearer = (await tokens.exchange(tokens.link())) as string;
  const jobs = createJobs(new URL("../../dist/server/jobs/jobs.worker.js", import.meta.url));
  const clipWork = createClipWork(new URL("../../dist/server/jobs/clips.worker.js", import.meta.url));
  running = await serve({
    folder,
    tokens,
    port: 0,
    pages: await readPages(join(path, "pages")),
    jobs,
    clipWork,
  });
});
afterAll(async () => {
  await running.close();
  await rm(path, { recursive: true });
});

/** A thread that reads a file may take its time to start. */
const ask = (asked: Asked): Promise<string> =>
  send(running.port, requestBytes({ port: running.port, bearer }, asked), 30_000);
const alive = async (): Promise<void> => {
  expect(statusOf(await ask({ target: "/routines/Night%20Ferry/sounds" }))).toBe(200);
};

/** A sound of 64 frames. */
const wav = (): Buffer => Buffer.from(wavBytes([new Float32Array(64).fill(0.25)], 48_000, 24));
function declaring(size: number): Buffer {
  const bytes = wav();
  bytes.writeUInt32LE(size, bytes.indexOf("data") + 4);
  return bytes;
}

test.each([
  ["a WAV", 201, () => wav()],
  ["a WAV that declares more than it holds", 201, () => declaring(1_000_000)],
  ["a WAV that declares 4 GB", 201, () => declaring(0xffff_fffe)],
  ["a zip", 422, () => Buffer.from("PK\u0003\u0004 and so on", "latin1")],
  ["nothing", 422, () => Buffer.alloc(0)],
  ["a WAV's first bytes alone", 422, () => wav().subarray(0, 12)],
] as const)("a sound brought as %s gets %i", async (_what, status, bytes) => {
  const body = bytes();
  const answer = await ask({
    method: "PUT",
    target: "/routines/Night%20Ferry/sounds/horn.wav",
    body,
    headers: { "Content-Type": "audio/wav" },
  });
  expect(statusOf(answer)).toBe(status);
  await alive();
});

/** A Standard MIDI File (RP-001) of format 1: its head, and a track of these bytes that declares so many. */
function midi(track: readonly number[], { tracks = 1, length = track.length } = {}): Buffer {
  const bytes = Buffer.from([
    ...Buffer.from("MThd"),
    0,
    0,
    0,
    6,
    0,
    1,
    0,
    0,
    3,
    0xc0,
    ...Buffer.from("MTrk"),
  ]);
  bytes.writeUInt16BE(tracks, 10);
  const size = Buffer.alloc(4);
  size.writeUInt32BE(length);
  return Buffer.concat([bytes, size, Buffer.from(track)]);
}
const END = [0, 0xff, 0x2f, 0];
const NOTE = [0, 0x90, 60, 100, 96, 0x80, 60, 0];

test.each([
  ["a MIDI file", 200, () => midi([...NOTE, ...END])],
  ["a MIDI file with 65,535 tracks declared", 422, () => midi([...NOTE, ...END], { tracks: 65_535 })],
  ["a MIDI file whose track declares 4 GB", 422, () => midi([...NOTE, ...END], { length: 0xffff_fffe })],
  ["a MIDI file with an endless number", 422, () => midi(Array.from({ length: 1000 }, () => 0xff))],
  ["a MIDI file cut within its head", 422, () => midi([]).subarray(0, 10)],
  ["a zip", 422, () => Buffer.from("PK\u0003\u0004 and so on", "latin1")],
  ["nothing", 422, () => Buffer.alloc(0)],
  ["a body over 8 MiB", 413, () => Buffer.alloc(8 * 1024 * 1024 + 1)],
] as const)("%s brought to be read gets %i", async (_what, status, bytes) => {
  const target = "/midi";
  const body = bytes();
  const headers = { "Content-Type": "audio/midi" };
  const answer = await ask({ method: "POST", target, body, headers });
  expect(statusOf(answer)).toBe(status);
  await alive();
});

test("a MIDI file that comes without its type, its bearer or from elsewhere is refused", async () => {
  const asked = { method: "POST", target: "/midi", body: midi([...NOTE, ...END]) };
  for (const [status, headers] of [
    [415, { "Content-Type": "application/octet-stream" }],
    [401, { "Content-Type": "audio/midi", Authorization: null }],
    [403, { "Content-Type": "audio/midi", Origin: "http://evil.example" }],
  ] as const) {
    expect(statusOf(await ask({ ...asked, headers }))).toBe(status);
  }
  await alive();
});

test("a sound that says it has 4 GB is refused before it is sent", async () => {
  const answer = await ask({
    method: "PUT",
    target: "/routines/Night%20Ferry/sounds/horn.wav",
    headers: { "Content-Type": "audio/wav", "Content-Length": "4294967296" },
  });
  expect(statusOf(answer)).toBe(413);
  await alive();
});

test.each([
  ["/out.js", 404],
  ["/index.html", 404],
  ["/routines/..%2f..%2fsecret.js/sounds", 400],
  ["/routines/nobody/sounds", 404],
  ["/routines/CON/sounds", 422],
] as const)("%s gets %i", async (target, status) => {
  expect(statusOf(await ask({ target }))).toBe(status);
  await alive();
});

test.each([
  ["a\0b", "control characters"],
  ["CON", "device"],
  ["ends.", "end with a space or a dot"],
  ["ends ", "end with a space or a dot"],
  [".hidden", "start with a dot"],
  ["x".repeat(256), null],
  ["../out", "A name cannot"],
  ["night ferry", "already"],
  ["Cafe\u0301", "already"],
] as const)("a routine cannot be named %j", async (name, why) => {
  const socket = new WebSocket(`ws://127.0.0.1:${running.port}/live`, "countercut.v1", {
    origin: running.address,
  });
  const said = await new Promise<{ type: string; message: string }>((resolve, reject) => {
    socket.once("error", reject);
    socket.once("open", () => {
      socket.send(JSON.stringify({ type: "hello", wire: WIRE, token: bearer }));
      socket.send(JSON.stringify({ type: "create", ask: 1, name, content: "demo" }));
    });
    socket.on("message", (data) => {
      const message = JSON.parse(String(data)) as { type: string; message: string };
      if (message.type === "sorry" || message.type === "done") resolve(message);
    });
  });
  expect(said.type).toBe("sorry");
  if (why !== null) expect(said.message).toContain(why);
  socket.close();
  await alive();
});

test.each([
  ["nested 20,000 deep", `{"type":"list","ask":${"[".repeat(20_000)}${"]".repeat(20_000)}}`],
  ["with __proto__", '{"type":"list","ask":1,"__proto__":{"ask":2}}'],
  ["with constructor", '{"type":"list","ask":1,"constructor":1}'],
  ["with a field twice", '{"type":"list","ask":1,"ask":2}'],
  ["with an infinite number", '{"type":"list","ask":1e999}'],
  ["that is no JSON", "{"],
  ["that nobody knows", '{"type":"everything","ask":1}'],
  ["in binary", Buffer.from('{"type":"list","ask":1}')],
])("a message %s is told off on both sockets, and the next is answered", async (_what, message) => {
  for (const [target, next, answer] of [
    ["/live", { type: "list", ask: 7 }, "list"],
    ["/sound", { type: "next", play: 1, material: null }, "sorry"],
  ] as const) {
    const socket = new WebSocket(`ws://127.0.0.1:${running.port}${target}`, "countercut.v1", {
      origin: running.address,
    });
    const said: { type: string }[] = [];
    const heard = new Promise<void>((resolve, reject) => {
      socket.once("error", reject);
      socket.on("message", (data) => {
        said.push(JSON.parse(String(data)) as { type: string });
        if (said.length === 3) resolve();
      });
    });
    await new Promise((resolve) => socket.once("open", resolve));
    socket.send(JSON.stringify({ type: "hello", wire: WIRE, token: bearer }));
    await expect.poll(() => said.length).toBe(1);
    socket.send(message);
    await expect.poll(() => said.length).toBeGreaterThan(1);
    socket.send(JSON.stringify(next));
    await heard;
    expect(said.map(({ type }) => type)).toEqual(["welcome", "sorry", answer]);
    socket.close();
  }
});
