/**
 * Requests beyond those that the gate's own tests name, at the whole program: what they get is at most a refusal, never
 * a fault of the program (500), silence, or the end of the server.
 */
import { connect } from "node:net";
import { mkdir, readdir, symlink } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test, vi } from "vitest";
import { NAME, startServer } from "../web/rig.ts";
import { type Asked, requestBytes, send, statusOf } from "./rig.ts";

let server: Awaited<ReturnType<typeof startServer>>;
let port: number;
const faults = vi.spyOn(console, "error");
beforeAll(async () => {
  server = await startServer();
  port = Number(new URL(server.address).port);
  await symlink("/etc/passwd", join(server.path, "Link.routine.json"));
  await mkdir(join(server.path, `${NAME}.sounds`));
  await symlink("/etc/passwd", join(server.path, `${NAME}.sounds`, "out.wav"));
  faults.mockClear();
});
afterAll(() => server.close());

/** A thread that makes clips may take its time to start. */
const ask = (asked: Asked): Promise<string> =>
  send(port, requestBytes({ port, bearer: server.bearer }, asked), 30_000);
const alive = async (): Promise<void> => expect(statusOf(await ask({ target: "/mappings" }))).toBe(200);
const host = (value: string): Asked => ({ target: "/mappings", headers: { Host: value } });
const at = (target: string): Asked => ({ target });
const headers = (more: Asked["headers"], asked: Asked = { target: "/mappings" }): Asked => ({
  ...asked,
  headers: more ?? {},
});
const put = (target: string, type: string, body: string | Uint8Array): Asked => ({
  method: "PUT",
  target,
  body,
  headers: { "Content-Type": type },
});
const mappings = (body: string): Asked => put("/mappings", "application/json", body);
const ROUTINE = `/routines/${encodeURIComponent(NAME)}`;
const line = (more: string): Asked => ({ target: "/mappings", more: [more] });

const asked: readonly (readonly [string, number, () => Asked])[] = [
  // Which name it was called by.
  ["a name with a dot at its end", 403, () => host(`localhost.:${port}`)],
  ["a short form of the address", 403, () => host(`127.1:${port}`)],
  ["the address as one number", 403, () => host(`2130706433:${port}`)],
  ["the address of the sixth version", 403, () => host(`[::1]:${port}`)],
  ["a port with a zero before it", 403, () => host(`127.0.0.1:0${port}`)],
  ["a user in the name", 403, () => host(`user@127.0.0.1:${port}`)],
  ["two names in one", 403, () => host(`127.0.0.1:${port}, evil.example`)],
  ["the name without its port", 403, () => host("127.0.0.1")],
  ["a forwarded name", 403, () => headers({ Host: "evil.example", "X-Forwarded-Host": `127.0.0.1:${port}` })],
  ["a name in two lines", 400, () => host(`127.0.0.1\r\n :${port}`)],
  // Where it comes from.
  [
    "a question whether another page may reach this machine",
    403,
    () => ({
      ...headers({ Origin: "http://evil.example" }),
      method: "OPTIONS",
      more: ["Access-Control-Request-Private-Network: true"],
    }),
  ],
  [
    "a frame of another page around ours",
    403,
    () => headers({ "Sec-Fetch-Site": "cross-site", Origin: null }, at("/")),
  ],
  [
    "the bearer as for a proxy",
    401,
    () => headers({ Authorization: null, "Proxy-Authorization": `Bearer ${server.bearer}` }),
  ],
  ["an Origin with a path", 403, () => headers({ Origin: `http://127.0.0.1:${port}/` })],
  ["an Origin by another protocol", 403, () => headers({ Origin: `https://127.0.0.1:${port}` })],
  ["our other name as Origin", 403, () => headers({ Origin: `http://localhost:${port}` })],
  ["two Origins", 403, () => line(`Origin: http://127.0.0.1:${port}`)],
  ["two sites", 403, () => line("Sec-Fetch-Site: same-origin")],
  ["a bearer in lower case", 401, () => headers({ Authorization: `bearer ${server.bearer}` })],
  ["a bearer and more", 401, () => headers({ Authorization: `Bearer ${server.bearer} x` })],
  ["a bearer as a cookie", 401, () => headers({ Authorization: null, Cookie: `t=${server.bearer}` })],
  // Paths.
  ["two slashes", 404, () => at("//mappings")],
  ["a dot for a folder", 400, () => at("/routines/./clips")],
  ["dots and a semicolon", 422, () => at("/routines/..;/clips")],
  ["dots in too many bytes", 404, () => at("/routines/%c0%ae%c0%ae/clips")],
  ["dots of full width", 422, () => at("/routines/%EF%BC%8E%EF%BC%8E%3F/clips")],
  ["a lone percent sign", 404, () => at("/routines/%/clips")],
  ["a percent sign and no number", 404, () => at("/routines/%zz/clips")],
  ["a line break in a name", 422, () => at("/routines/a%0d%0ab/clips")],
  ["a device", 422, () => at("/routines/aux/clips")],
  ["a device with an ending", 422, () => at("/routines/com1.txt/clips")],
  ["a device with spaces before its ending", 422, () => at("/routines/nul%20%20.txt/clips")],
  ["slashes that only look so", 422, () => at("/routines/..%E2%88%95..%E2%88%95etc/clips")],
  ["letters that cannot be seen at the end", 422, () => at(`${ROUTINE}%F3%A0%81%81/clips`)],
  ["a stream of a file", 422, () => at("/routines/a%3a%24DATA/clips")],
  ["a name that turns the direction of writing", 422, () => at("/routines/a%E2%80%AEb/clips")],
  ["a name that cannot be seen", 422, () => at("/routines/%E2%80%8B/clips")],
  ["half a character", 404, () => at("/routines/%ED%A0%80/clips")],
  ["a name that ends with a space", 422, () => at("/routines/a%20/clips")],
  ["a name of 300 bytes", 422, () => at(`/routines/${"a".repeat(300)}/clips`)],
  ["a name of 200 letters of three bytes each", 422, () => at(`/routines/${"%E2%82%AC".repeat(200)}/clips`)],
  ["__proto__ as a routine", 404, () => at("/routines/__proto__/clips")],
  ["a routine that is a link", 409, () => at("/routines/Link/clips")],
  ["a clip by a path", 400, () => at(`${ROUTINE}/clips/..%2f..%2fsecret`)],
  ["a clip that is not there", 404, () => at(`${ROUTINE}/clips/constructor`)],
  ["the tempo of a sound that is a link", 404, () => at(`${ROUTINE}/sounds/out.wav/tempo`)],
  ["a recording by a device's name", 422, () => at(`${ROUTINE}/recordings/nul`)],
  ["the recordings of no routine", 404, () => at("/routines/nobody/recordings/one")],
  // Queries.
  ["a resolution that is no number", 422, () => at(`${ROUTINE}/clips?ppq=1e3`)],
  ["a resolution below nothing", 422, () => at(`${ROUTINE}/clips?ppq=-8`)],
  ["a resolution beyond all bounds", 422, () => at(`${ROUTINE}/clips?ppq=99999999999999999999`)],
  ["a section named __proto__", 404, () => at(`${ROUTINE}/sound.wav?section=__proto__`)],
  ["a part named constructor", 422, () => at(`${ROUTINE}/sound.wav?part=constructor`)],
  ["a query that is no UTF-8", 422, () => at(`${ROUTINE}/sound.wav?part=%ff%fe`)],
  ["a range of bytes, which is not heeded", 200, () => headers({ Range: "bytes=0-0,1-1,0-9999999999" })],
  // Heads.
  ["two equal lengths", 400, () => ({ ...mappings("{}"), more: ["Content-Length: 2"] })],
  ["two lengths", 400, () => ({ ...mappings("{}"), more: ["Content-Length: 3"] })],
  ["lengths in a list", 400, () => ({ ...mappings("{}"), headers: { "Content-Length": "2, 2" } })],
  ["a length with a sign", 400, () => ({ ...mappings("{}"), headers: { "Content-Length": "+2" } })],
  ["a length below nothing", 400, () => ({ ...mappings("{}"), headers: { "Content-Length": "-1" } })],
  ["a length in base 16", 400, () => ({ ...mappings("{}"), headers: { "Content-Length": "0x2" } })],
  ["a length beyond all numbers", 400, () => headers({ "Content-Length": "9".repeat(40) })],
  ["a space before the colon", 400, () => line("Content-Length : 0")],
  ["a header over two lines", 400, () => line("X-One: a\r\n b")],
  ["a header without a name", 400, () => line(": x")],
  ["a header without a colon", 400, () => line("nothing")],
  ["a NUL in a header", 400, () => line("X-One: a\0b")],
  ["a carriage return in a header", 400, () => line("X-One: a\rb")],
  ["a letter beyond ASCII in a header's name", 400, () => line("X-\u00e9: a")],
  ["1,000 headers", 200, () => ({ target: "/mappings", more: Array.from({ length: 1000 }, () => "a: b") })],
  ["a method nobody knows", 400, () => ({ target: "/mappings", method: "STEAL" })],
  ["a method in small letters", 400, () => ({ target: "/mappings", method: "get" })],
  ["a method of web folders", 405, () => ({ target: "/mappings", method: "PROPFIND" })],
  ["PRI of HTTP/2", 400, () => ({ target: "*", method: "PRI", version: "2.0" })],
  ["HTTP/1.2", 400, () => ({ target: "/mappings", version: "1.2" })],
  ["a version with letters", 400, () => ({ target: "/mappings", version: "1.x" })],
  // Bodies.
  ["a chunk's length that is none", 400, () => chunked("zz\r\n{}\r\n0\r\n\r\n")],
  ["a chunk's length beyond all numbers", 400, () => chunked(`${"F".repeat(20)}\r\n{}\r\n0\r\n\r\n`)],
  ["a chunk with too little in it", 400, () => chunked("2\r\n{}x\r\n0\r\n\r\n")],
  ["chunks twice", 400, () => chunked("0\r\n\r\n", "chunked, identity")],
  ["an unknown coding", 400, () => chunked("{}", "xchunked")],
  ["an empty body", 400, () => mappings("")],
  ["a body of blanks", 400, () => mappings("  \n ")],
  ["a byte order mark and no more", 400, () => mappings("\ufeff")],
  ["a string without end", 400, () => mappings('{"mappings":"')],
  ["half a character in JSON", 422, () => mappings('{"mappings":"\\ud800"}')],
  ["another type of JSON", 415, () => put("/mappings", "application/json; charset=utf-16", "{}")],
  ["a form", 415, () => put("/mappings", "multipart/form-data; boundary=x", "--x--")],
  ["toString as a field", 422, () => mappings('{"mappings":[],"toString":1}')],
  ["a number without end", 422, () => mappings(`{"mappings":[${"9".repeat(400)}]}`)],
  ["a name that leads out", 400, () => put(`${ROUTINE}/sounds/..%2fx.wav`, "audio/wav", "x")],
  ["a hidden sound", 422, () => put(`${ROUTINE}/sounds/.x.wav`, "audio/wav", "x")],
  ["a device as a sound", 422, () => put(`${ROUTINE}/sounds/con.wav`, "audio/wav", "x")],
  ["a sound with another ending", 422, () => put(`${ROUTINE}/sounds/x.html`, "audio/wav", "x")],
  ["a recording without a word about it", 400, () => put(`${ROUTINE}/recordings`, "audio/wav", "x")],
  [
    "a recording for no routine",
    404,
    () => put(`/routines/nobody/recordings?about=${ABOUT}`, "audio/wav", "x"),
  ],
  ["a recording that is no sound", 422, () => put(`${ROUTINE}/recordings?about=${ABOUT}`, "audio/wav", "x")],
  // Upgrades.
  ["an upgrade to HTTP/2", 400, () => upgrade({ Upgrade: "h2c", "HTTP2-Settings": "AAMAAABkAAQAAP__" })],
  ["an upgrade by POST", 405, () => ({ ...upgrade({}), method: "POST" })],
  ["an upgrade to two protocols", 400, () => upgrade({ Upgrade: "websocket, h2c" })],
  ["an upgrade of another version", 400, () => upgrade({ "Sec-WebSocket-Version": "0" })],
  ["an upgrade with half a key", 400, () => upgrade({ "Sec-WebSocket-Key": "AAAA" })],
  ["an upgrade with two subprotocols", 400, () => upgrade({ "Sec-WebSocket-Protocol": "countercut.v1, x" })],
  ["an upgrade with a body", 413, () => ({ ...upgrade({ "Content-Length": "5" }), body: "hello" })],
  ["an upgrade of a page's address", 400, () => ({ ...upgrade({}), target: "/mappings" })],
];
const ABOUT = encodeURIComponent(
  JSON.stringify({
    title: "x",
    range: { from: { section: "quay", at: 0 }, to: { section: "quay", at: 1 } },
    speed: 1,
    by: "file",
    hands: "both",
    allowedMs: 0,
  }),
);
const chunked = (body: string, coding = "chunked"): Asked => ({
  method: "PUT",
  target: "/mappings",
  headers: { "Content-Type": "application/json", "Transfer-Encoding": coding },
  more: ["", body],
});
const upgrade = (more: Asked["headers"]): Asked => ({
  target: "/live",
  headers: {
    Connection: "Upgrade",
    Upgrade: "websocket",
    "Sec-WebSocket-Version": "13",
    "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ==",
    "Sec-WebSocket-Protocol": "countercut.v1",
    ...more,
  },
});

test("each gets its status, and the server serves the next one", async () => {
  const wrong: string[] = [];
  for (const [what, status, make] of asked) {
    const got = statusOf(await ask(make()));
    if (got !== status) wrong.push(`${what}: ${got} instead of ${status}`);
    if (statusOf(await ask({ target: "/mappings" })) !== 200) wrong.push(`after ${what} nothing is served`);
  }
  expect(wrong).toEqual([]);
  expect(faults.mock.calls).toEqual([]);
});

/** Sends, and breaks off as soon as the bytes are handed over. */
const breakOff = (bytes: string | Uint8Array, { reset = false } = {}): Promise<void> =>
  new Promise((resolve) => {
    const socket = connect(port, "127.0.0.1", () => {
      socket.write(bytes, () => {
        if (reset) socket.resetAndDestroy();
        else socket.end();
      });
    });
    socket.on("error", () => undefined);
    socket.on("data", () => undefined);
    socket.on("close", () => resolve());
  });

test("whoever breaks off anywhere leaves nothing behind", async () => {
  const own = { port, bearer: server.bearer };
  const upload = requestBytes(own, {
    ...put(`${ROUTINE}/sounds/half.wav`, "audio/wav", "x".repeat(100)),
    headers: { "Content-Type": "audio/wav", "Content-Length": "100000" },
  });
  const recording = requestBytes(own, {
    ...put(`${ROUTINE}/recordings?about=${ABOUT}`, "audio/wav", "x".repeat(100)),
    headers: { "Content-Type": "audio/wav", "Content-Length": "100000" },
  });
  const whole = requestBytes(own, { target: "/mappings" });
  for (const reset of [true, false]) {
    for (const bytes of [
      Buffer.alloc(0),
      Buffer.from("\r\n\r\n\r\n"),
      Buffer.from("GET"),
      whole.subarray(0, 40),
      // The first record of a secure connection.
      Buffer.from([22, 3, 1, 0, 200, 1, 0, 0, 196, 3, 3]),
      upload,
      recording,
      requestBytes(own, upgrade({})),
      Buffer.concat([
        requestBytes(own, upgrade({})),
        Buffer.of(0x81, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff),
      ]),
      Buffer.concat(Array.from({ length: 200 }, () => whole)),
    ])
      await breakOff(bytes, { reset });
  }
  await alive();
  const { sounds } = (await (await server.fetch("/sounds")).json()) as { sounds: { file: string }[] };
  expect(sounds).toEqual([]);
  const { recordings } = (await (await server.fetch("/recordings")).json()) as { recordings: unknown[] };
  expect(recordings).toEqual([]);
  const parts = async () =>
    (await readdir(server.path, { recursive: true })).filter((file) => file.endsWith(".part"));
  await expect.poll(parts, { timeout: 10_000 }).toEqual([]);
  expect(faults.mock.calls).toEqual([]);
});
