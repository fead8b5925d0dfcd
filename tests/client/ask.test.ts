/** What the server says where it refuses reaches the page, in the shape in which the gate writes it. */
import { afterEach, expect, test, vi } from "vitest";
import { fetchWithBearer, NO_ANSWER } from "../../client/state/access.ts";
import { askJson, askLines, sentenceOf } from "../../client/state/ask.ts";

const refusal = (body: string, status = 413): Response => new Response(body, { status });
const answers = (answer: () => Promise<Response>): void => {
  vi.stubGlobal("fetch", answer);
};
afterEach(() => vi.unstubAllGlobals());

test("the server's sentence is given; without one, that it refused", async () => {
  const said = JSON.stringify({ error: { code: "too-large", message: "The recording is too long." } });
  expect(await sentenceOf(refusal(said))).toBe("The recording is too long.");
  expect(await sentenceOf(refusal("<html>", 502))).toBe("The server refused (502). Try again.");
  expect(await sentenceOf(refusal("{}", 500))).toBe("The server refused (500). Try again.");
});

test("an answer is read, a refusal is a sentence, silence is one too, and what was broken off is thrown", async () => {
  answers(async () => new Response(JSON.stringify({ clips: 3 })));
  expect(await askJson("/clips")).toEqual({ answer: { clips: 3 } });
  answers(async () => refusal(JSON.stringify({ error: { message: "No." } })));
  expect(await askJson("/clips")).toEqual({ why: "No." });
  answers(async () => Promise.reject(new TypeError("failed to fetch")));
  expect(await askJson("/clips")).toEqual({ why: NO_ANSWER });
  await expect(fetchWithBearer("/clips")).rejects.toThrow(NO_ANSWER);
  answers(async () => Promise.reject(new DOMException("stopped", "AbortError")));
  await expect(askJson("/clips")).rejects.toThrow("stopped");
});

/** An answer that comes in these pieces. */
const streamed = (...pieces: readonly string[]): Response =>
  new Response(
    new ReadableStream({
      start(control) {
        for (const piece of pieces) control.enqueue(new TextEncoder().encode(piece));
        control.close();
      },
    }),
  );

test("an answer that is told line by line is followed, wherever its lines are torn", async () => {
  const told: number[] = [];
  const ask = (signal = new AbortController().signal) =>
    askLines("/clips?told", (done) => told.push(done), signal);
  answers(async () => streamed('{"done":0.2}\n{"do', 'ne":0.6}\n{"answer":{"clips":3}}\n'));
  expect(await ask()).toEqual({ answer: { clips: 3 } });
  expect(told).toEqual([0.2, 0.6]);
  answers(async () => streamed('{"done":0.2}\n'));
  expect(await ask()).toEqual({ why: NO_ANSWER });
  answers(async () => refusal(JSON.stringify({ error: { message: "No." } })));
  expect(await ask()).toEqual({ why: "No." });
  answers(async () => Promise.reject(new DOMException("stopped", "AbortError")));
  const stopped = new AbortController();
  stopped.abort();
  await expect(ask(stopped.signal)).rejects.toHaveProperty("name", "AbortError");
});
