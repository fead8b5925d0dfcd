import { randomBytes } from "node:crypto";
import { connect, type Socket } from "node:net";
import { deflateRawSync } from "node:zlib";
import { afterEach, beforeEach, expect, test } from "vitest";
import { WebSocket } from "ws";
import { type Asked, type Rig, requestBytes, send, startRig, statusOf } from "./rig.ts";

let rig: Rig;
beforeEach(async () => {
  rig = await startRig();
});
afterEach(() => rig.close());

const upgrade = (asked: Asked = {}): Buffer =>
  requestBytes(rig, {
    target: "/live",
    ...asked,
    headers: {
      Authorization: null,
      Connection: "Upgrade",
      Upgrade: "websocket",
      "Sec-WebSocket-Version": "13",
      "Sec-WebSocket-Key": randomBytes(16).toString("base64"),
      "Sec-WebSocket-Protocol": "countercut.v1",
      ...asked.headers,
    },
  });

test.each([
  ["a foreign Origin", 403, { headers: { Origin: "http://evil.example" } }],
  ["Origin null", 403, { headers: { Origin: "null" } }],
  ["no Origin", 403, { headers: { Origin: null } }],
  ["a wrong path", 404, { target: "/elsewhere" }],
  ["a path that is no socket's", 400, { target: "/" }],
  ["a wrong subprotocol", 400, { headers: { "Sec-WebSocket-Protocol": "other" } }],
  ["no subprotocol", 400, { headers: { "Sec-WebSocket-Protocol": null } }],
  ["another protocol than WebSocket", 400, { headers: { Upgrade: "h2c" } }],
  ["another name", 403, { headers: { Host: "evil.example" } }],
  ["a wrong version of WebSocket", 400, { headers: { "Sec-WebSocket-Version": "7" } }],
  ["a broken key", 400, { headers: { "Sec-WebSocket-Key": "x" } }],
] as const)("an upgrade with %s gets %i", async (_what, status, asked) => {
  expect(statusOf(await send(rig.port, upgrade(asked)))).toBe(status);
  expect(statusOf(await send(rig.port, requestBytes(rig, {})))).toBe(200);
});

const open = (): Promise<WebSocket> =>
  new Promise((resolve, reject) => {
    const socket = new WebSocket(`ws://127.0.0.1:${rig.port}/live`, "countercut.v1", {
      origin: `http://127.0.0.1:${rig.port}`,
    });
    socket.once("open", () => resolve(socket));
    socket.once("error", reject);
  });
const hello = (): string => JSON.stringify({ type: "hello", token: rig.bearer });
const closing = (socket: WebSocket): Promise<number> =>
  new Promise((resolve) => socket.once("close", (code) => resolve(code)));
const echo = async (): Promise<string> => {
  const socket = await open();
  socket.send(hello());
  socket.send("are you there");
  const said = await new Promise<string>((resolve) =>
    socket.once("message", (data) => resolve(String(data))),
  );
  socket.close();
  return said;
};

test("a page that says its bearer first is let in, and its messages arrive in order", async () => {
  expect(await echo()).toBe("are you there");
});

/** A frame by RFC 6455, 5.2, masked unless told otherwise. */
function frame(first: number, content: Buffer, { masked = true } = {}): Buffer {
  const { length } = content;
  const size =
    length < 126
      ? Buffer.of(length)
      : length < 65_536
        ? Buffer.of(126, length >> 8, length & 255)
        : Buffer.of(127, 0, 0, 0, 0, length >>> 24, (length >> 16) & 255, (length >> 8) & 255, length & 255);
  if (!masked) return Buffer.concat([Buffer.of(first), size, content]);
  size[0] = (size[0] as number) | 128;
  // A mask of zeros leaves the content as it is.
  return Buffer.concat([Buffer.of(first), size, Buffer.alloc(4), content]);
}

/** Says hello on a bare socket, sends frames, and gives the code of the closing frame. */
async function codeAfter(...frames: Buffer[]): Promise<number> {
  const socket: Socket = connect(rig.port, "127.0.0.1");
  socket.on("error", () => undefined);
  let said = Buffer.alloc(0);
  const code = new Promise<number>((resolve) => {
    socket.on("data", (part: Buffer) => {
      said = Buffer.concat([said, part]);
      const head = said.indexOf("\r\n\r\n");
      let at = head + 4;
      while (head !== -1 && at + 1 < said.length) {
        const size = said[at + 1] as number;
        if (said[at] === 0x88) return resolve(size < 2 ? 1005 : said.readUInt16BE(at + 2));
        at += 2 + size;
      }
    });
    socket.on("close", () => resolve(1006));
  });
  socket.write(Buffer.concat([upgrade(), frame(0x81, Buffer.from(hello())), ...frames]));
  const found = await code;
  socket.destroy();
  return found;
}

const MIB = 1024 * 1024;
test.each([
  ["a message of 1 MiB and a byte", 1009, () => [frame(0x82, Buffer.alloc(MIB + 1))]],
  [
    "fragments that add up to more than 1 MiB",
    1009,
    () => [
      frame(0x02, Buffer.alloc(MIB / 2)),
      frame(0x00, Buffer.alloc(MIB / 2)),
      frame(0x80, Buffer.alloc(1)),
    ],
  ],
  [
    "200,000 empty fragments",
    1008,
    () => [
      frame(0x02, Buffer.alloc(0)),
      Buffer.concat(Array.from({ length: 200_000 }, () => frame(0, Buffer.alloc(0)))),
    ],
  ],
  ["invalid UTF-8", 1007, () => [frame(0x81, Buffer.of(0xff))]],
  ["an unmasked frame", 1002, () => [frame(0x81, Buffer.from("x"), { masked: false })]],
  ["reserved bits", 1002, () => [frame(0xc1, Buffer.from("x"))]],
  ["opcode 3", 1002, () => [frame(0x83, Buffer.from("x"))]],
  ["a ping of 126 bytes", 1002, () => [frame(0x89, Buffer.alloc(126))]],
  ["a part of a message that was not begun", 1002, () => [frame(0x80, Buffer.from("x"))]],
  ["a message within another", 1002, () => [frame(0x01, Buffer.from("x")), frame(0x81, Buffer.from("y"))]],
  ["a ping in parts", 1002, () => [frame(0x09, Buffer.from("x"))]],
  ["a closing of one byte", 1002, () => [frame(0x88, Buffer.of(3))]],
  ["a closing by a number that is never sent", 1002, () => [frame(0x88, Buffer.of(3, 0xed))]],
  ["a closing whose reason is no UTF-8", 1007, () => [frame(0x88, Buffer.of(3, 0xe8, 0xff))]],
  ["pressed data that nobody agreed to", 1002, () => [frame(0xc2, deflateRawSync(Buffer.alloc(50 * MIB)))]],
  ["a length of 2^63 bytes", 1009, () => [Buffer.of(0x82, 0xff, 0x80, 0, 0, 0, 0, 0, 0, 0), Buffer.alloc(4)]],
  [
    "invalid UTF-8 across two parts",
    1007,
    () => [frame(0x01, Buffer.of(0xe2)), frame(0x80, Buffer.of(0x28))],
  ],
  ["a flood of pongs", 1008, () => Array.from({ length: 201 }, () => frame(0x8a, Buffer.alloc(0)))],
  ["a flood of messages", 1008, () => Array.from({ length: 201 }, () => frame(0x81, Buffer.from("x")))],
  ["a flood of pings", 1008, () => Array.from({ length: 201 }, () => frame(0x89, Buffer.alloc(0)))],
] as const)("%s closes with %i, and the next page is served", async (_what, code, frames) => {
  expect(await codeAfter(...frames())).toBe(code);
  expect(await echo()).toBe("are you there");
});

test("a wrong bearer, none, and binary first close with 1008", async () => {
  for (const first of [JSON.stringify({ token: "x".repeat(43) }), "{}", "no json", Buffer.from(hello())]) {
    const socket = await open();
    socket.send(first);
    expect(await closing(socket)).toBe(1008);
  }
});

test("a socket without a first message is closed with 1008 after two seconds", async () => {
  const socket = await open();
  const start = performance.now();
  expect(await closing(socket)).toBe(1008);
  expect(performance.now() - start).toBeGreaterThan(1_900);
});

test("eight may be unauthenticated at once and 64 open; of 500 the rest get 503", async () => {
  const strangers = await Promise.all(Array.from({ length: 8 }, open));
  expect(statusOf(await send(rig.port, upgrade()))).toBe(503);
  for (const socket of strangers) socket.send(hello());
  while (rig.clients.length < 8) await new Promise((resolve) => setTimeout(resolve, 5));
  while (rig.clients.length < 64) {
    const count = rig.clients.length;
    (await open()).send(hello());
    while (rig.clients.length === count) await new Promise((resolve) => setTimeout(resolve, 1));
  }
  const rest = await Promise.all(Array.from({ length: 436 }, () => send(rig.port, upgrade())));
  expect(new Set(rest.map(statusOf))).toEqual(new Set([503]));
  expect(rig.door.open).toBe(64);
  for (const socket of strangers) socket.terminate();
  expect(statusOf(await send(rig.port, requestBytes(rig, {})))).toBe(200);
});

test("whoever does not answer pings is ended, with the connection half open; whoever does stays", async () => {
  await rig.close();
  rig = await startRig({ ping: 50, silence: 200 });
  const answers = await open();
  answers.send(hello());
  const start = performance.now();
  // It ends its own side; the server's stays open until the silence was too long.
  const silent = connect({ port: rig.port, host: "127.0.0.1", allowHalfOpen: true });
  silent.write(Buffer.concat([upgrade(), frame(0x81, Buffer.from(hello()))]));
  silent.resume();
  await new Promise((resolve) => silent.once("close", resolve).once("end", () => silent.end()));
  expect(performance.now() - start).toBeGreaterThan(190);
  expect(answers.readyState).toBe(answers.OPEN);
  answers.terminate();
});

test("a client that does not read is ended once more than 1 MiB waits", async () => {
  const socket = await open();
  socket.send(hello());
  while (rig.clients.length === 0) await new Promise((resolve) => setTimeout(resolve, 5));
  const [client] = rig.clients;
  socket.pause();
  let sent = 0;
  while (client?.send(new Uint8Array(256 * 1024))) sent++;
  expect(sent).toBeGreaterThanOrEqual(4);
  // Beside what waits here, some waits in the system.
  expect(sent).toBeLessThan(64);
  expect(client?.send("more")).toBe(false);
  const ended = new Promise((resolve) => socket.once("close", resolve));
  socket.resume();
  expect(await ended).toBe(1006);
});

test("bytes arrive as they were, although their memory holds something else once they have left", async () => {
  const socket = await open();
  const arrived: string[] = [];
  socket.on("message", (data: Buffer) => arrived.push(`${data[0]} ${data.every((one) => one === data[0])}`));
  socket.send(hello());
  while (rig.clients.length === 0) await new Promise((resolve) => setTimeout(resolve, 5));
  // So much that the system does not take it in one go from a client that does not read yet.
  const room = new Uint8Array(512 * 1024);
  socket.pause();
  setTimeout(() => socket.resume(), 100);
  for (let turn = 0; turn < 20; turn++) {
    room.fill(turn);
    await new Promise<void>((left) => rig.clients[0]?.send(room, false, left));
  }
  while (arrived.length < 20) await new Promise((resolve) => setTimeout(resolve, 5));
  expect(arrived).toEqual(Array.from({ length: 20 }, (_, turn) => `${turn} true`));
  socket.terminate();
});
