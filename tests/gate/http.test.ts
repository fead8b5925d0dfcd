import { afterAll, beforeAll, expect, test } from "vitest";
import { type Asked, type Rig, requestBytes, send, startRig, statusOf, zipped } from "./rig.ts";

let rig: Rig;
beforeAll(async () => {
  rig = await startRig();
});
afterAll(() => rig.close());

const ask = (asked: Asked, wait?: number): Promise<string> => send(rig.port, requestBytes(rig, asked), wait);
const post = (body: string | Uint8Array, headers: Asked["headers"] = {}): Asked => ({
  method: "POST",
  body,
  headers,
});
const host = (value: string | null, asked: Asked = {}): Asked => ({ ...asked, headers: { Host: value } });

const cases: readonly (readonly [string, number, () => Asked])[] = [
  ["our own page's request", 200, () => ({})],
  [
    "the page from the address bar, without a bearer",
    200,
    () => ({ target: "/", headers: { Origin: null, Authorization: null, "Sec-Fetch-Site": "none" } }),
  ],
  [
    "localhost as our name",
    200,
    () => ({ headers: { Host: `localhost:${rig.port}`, Origin: `http://localhost:${rig.port}` } }),
  ],
  ["another name", 403, () => host("evil.example")],
  ["another name with our port", 403, () => host(`evil.example:${rig.port}`)],
  ["no Host", 400, () => host(null)],
  ["a malformed Host", 403, () => host("[")],
  ["an empty Host", 403, () => host("")],
  ["two Hosts", 400, () => ({ more: [`Host: 127.0.0.1:${rig.port}`] })],
  ["HTTP/1.0 without a Host", 505, () => host(null, { version: "1.0" })],
  ["HTTP/1.0 with a Host", 505, () => ({ version: "1.0" })],
  ["an absolute target", 400, () => ({ target: `http://127.0.0.1:${rig.port}/api/routines` })],
  ["# in the target", 400, () => ({ target: "/api/routines#x" })],
  ["../", 400, () => ({ target: "/api/../secret" })],
  ["%2e%2e/", 400, () => ({ target: "/%2e%2e/secret" })],
  ["..%2f", 400, () => ({ target: "/..%2fsecret" })],
  ["%252e", 404, () => ({ target: "/%252e%252e/secret" })],
  ["..%5c", 400, () => ({ target: "/..%5csecret" })],
  ["a backslash", 400, () => ({ target: "/..\\secret" })],
  ["%00", 400, () => ({ target: "/api/routines/a%00b" })],
  ["a target of 2 KiB and a byte", 400, () => ({ target: `/${"a".repeat(2_048)}` })],
  ["a target of 2 KiB", 404, () => ({ target: `/${"a".repeat(2_047)}` })],
  ["a target that is no UTF-8 once decoded", 404, () => ({ target: "/api/routines/%ff" })],
  ["an unknown route", 404, () => ({ target: "/api/nothing" })],
  ["a foreign Origin", 403, () => ({ headers: { Origin: "http://evil.example" } })],
  ["Origin null", 403, () => ({ headers: { Origin: "null" } })],
  ["another loopback port as Origin", 403, () => ({ headers: { Origin: "http://127.0.0.1:1" } })],
  ["a write without Origin", 403, () => post("{}", { Origin: null })],
  ["JSON for a cross-site page", 403, () => ({ headers: { "Sec-Fetch-Site": "cross-site", Origin: null } })],
  ["JSON for a same-site page", 403, () => ({ headers: { "Sec-Fetch-Site": "same-site", Origin: null } })],
  ["JSON from the address bar", 403, () => ({ headers: { "Sec-Fetch-Site": "none", Origin: null } })],
  ["no bearer", 401, () => ({ headers: { Authorization: null } })],
  ["a wrong bearer", 401, () => ({ headers: { Authorization: `Bearer ${"A".repeat(43)}` } })],
  ["two bearers", 401, () => ({ more: [`Authorization: Bearer ${rig.bearer}`] })],
  [
    "the bearer in the query",
    401,
    () => ({ target: `/api/routines?token=${rig.bearer}`, headers: { Authorization: null } }),
  ],
  ["JSON as text/plain", 415, () => post("{}", { "Content-Type": "text/plain" })],
  ["no Content-Type", 415, () => post("{}", { "Content-Type": null })],
  ["a body over the limit", 413, () => post(" ".repeat(65_537))],
  ["a body where none belongs", 413, () => ({ body: "{}" })],
  ["a gzip bomb", 415, () => post(zipped(10_000_000), { "Content-Encoding": "gzip" })],
  ["nested 20,000 deep", 422, () => post("[".repeat(20_000) + "]".repeat(20_000))],
  ["nested 33 deep", 422, () => post("[".repeat(33) + "]".repeat(33))],
  ["nested 32 deep", 200, () => post("[".repeat(32) + "]".repeat(32))],
  ["__proto__", 422, () => post('{"__proto__":{"a":1}}')],
  ["an escaped __proto__", 422, () => post('{"\\u005f_proto__":{"a":1}}')],
  ["constructor", 422, () => post('{"a":{"constructor":1}}')],
  ["1e999", 422, () => post("[1e999]")],
  ["duplicate keys", 422, () => post('{"a":1,"a":2}')],
  ["invalid UTF-8", 400, () => post(Buffer.from([0x22, 0xff, 0x22]))],
  ["no JSON", 400, () => post("{")],
  ["TRACE", 405, () => ({ method: "TRACE" })],
  ["CONNECT", 405, () => ({ method: "CONNECT", target: "evil.example:443" })],
  ["an OPTIONS preflight", 403, () => ({ method: "OPTIONS", more: ["Access-Control-Request-Method: POST"] })],
  ["OPTIONS *", 400, () => ({ method: "OPTIONS", target: "*" })],
  ["HEAD", 405, () => ({ method: "HEAD" })],
  ["a known route by another method", 405, () => ({ method: "DELETE" })],
  ["an override header, which is not heeded", 200, () => ({ more: ["X-HTTP-Method-Override: DELETE"] })],
  ["Content-Length with Transfer-Encoding", 400, () => post("0\r\n\r\n", { "Transfer-Encoding": "chunked" })],
  ["17 KB of headers", 431, () => ({ more: [`X-Long: ${"a".repeat(17 * 1024)}`] })],
  ["a socket's address without an upgrade", 426, () => ({ target: "/live" })],
  ["an unknown expectation", 200, () => ({ more: ["Expect: a miracle"] })],
];

test.each(cases)("%s: %i, with the headers, and the next request is served", async (_what, status, asked) => {
  const answer = await ask(asked());
  expect(statusOf(answer)).toBe(status);
  for (const line of [
    `Content-Security-Policy: default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; media-src 'self' blob:; worker-src 'self'; connect-src 'self' ws://127.0.0.1:${rig.port} ws://localhost:${rig.port}; frame-ancestors 'none'; base-uri 'none'; form-action 'none'`,
    "Cross-Origin-Resource-Policy: same-origin",
    "Cross-Origin-Opener-Policy: same-origin",
    "Cross-Origin-Embedder-Policy: require-corp",
    "X-Content-Type-Options: nosniff",
    "Referrer-Policy: no-referrer",
    "Cache-Control: no-store",
  ]) {
    expect(answer).toContain(line);
  }
  expect(answer.toLowerCase()).not.toContain("access-control");
  expect(statusOf(await ask({}))).toBe(200);
});

test("a hashed asset may be kept", async () => {
  expect(await ask({ target: "/assets/page-1a2b3c.js" })).toContain(
    "Cache-Control: public, max-age=31536000, immutable",
  );
});

test("a body that grows over its limit without saying so gets 413", async () => {
  const chunk = `4000\r\n${" ".repeat(0x4000)}\r\n`;
  const head = requestBytes(rig, {
    method: "POST",
    headers: { "Content-Type": "application/json", "Transfer-Encoding": "chunked" },
  });
  expect(
    statusOf(await send(rig.port, Buffer.concat([head, Buffer.from(`${chunk.repeat(5)}0\r\n\r\n`)]))),
  ).toBe(413);
});

test("slow senders are closed with 408", async () => {
  const slowHead = send(rig.port, "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n", 6_000);
  const slowBody = ask({ ...post("{"), headers: { "Content-Length": "10" } }, 6_000);
  expect(statusOf(await slowHead)).toBe(408);
  expect(statusOf(await slowBody)).toBe(408);
  expect(statusOf(await ask({}))).toBe(200);
});

test("a link lets in once, for a minute, and its bearer stays", async () => {
  let now = 0;
  const own = await startRig({}, () => now);
  const exchange = async (token: string): Promise<number> =>
    statusOf(
      await send(
        own.port,
        requestBytes(own, {
          method: "POST",
          target: "/session",
          body: JSON.stringify({ token }),
          headers: { Authorization: null },
        }),
      ),
    );
  const first = own.tokens.link();
  now = 59_999;
  expect(await exchange(first)).toBe(200);
  expect(await exchange(first)).toBe(401);
  const second = own.tokens.link();
  now += 60_000;
  expect(await exchange(second)).toBe(401);
  expect(await exchange("x".repeat(43))).toBe(401);
  expect(own.tokens.knows(own.bearer)).toBe(true);
  await own.tokens.forget(own.bearer);
  expect(own.tokens.knows(own.bearer)).toBe(false);
  await own.close();
});
