/** A thread that stays remembers; where it breaks off, those who wait are told, and the next question starts another. */
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { LastingThread } from "../../server/jobs/lastingWorkers.ts";

/** Counts its questions, or breaks off as it is told. */
const SCRIPT = new URL(
  `data:text/javascript,${encodeURIComponent(`
    import { parentPort } from "node:worker_threads";
    let count = 0;
    parentPort.on("message", ({ number, question }) => {
      if (question === "break") throw new Error("It broke.");
      if (question === "end") process.exit(0);
      if (question === "slowly") for (const done of [0.25, 0.5]) parentPort.postMessage({ number, done });
      if (question !== "stay silent") parentPort.postMessage({ number, answer: ++count });
    });`)}`,
);

let thread: LastingThread<string, number>;
const begin = (stays?: number): void => {
  thread = new LastingThread(SCRIPT, (error) => new Error(`Lost: ${error?.message ?? "it ended"}`), stays);
};
afterEach(() => thread.end());

test("what it worked out before is there for the next question", async () => {
  begin();
  expect(await Promise.all([thread.ask("a"), thread.ask("b")])).toEqual([1, 2]);
  expect(await thread.ask("c")).toBe(3);
});

test("how much is done is told before the answer, to who asked", async () => {
  begin();
  const told: number[] = [];
  const other: number[] = [];
  const answers = [
    thread.ask("slowly", (done) => told.push(done)),
    thread.ask("b", (done) => other.push(done)),
  ];
  expect(await Promise.all(answers)).toEqual([1, 2]);
  expect([told, other]).toEqual([[0.25, 0.5], []]);
});

test.each([
  ["break", "Lost: It broke."],
  ["end", "Lost: it ended"],
])("told to %s, all who wait are told, and it begins anew", async (word, why) => {
  begin();
  const waits = thread.ask("stay silent");
  const breaks = thread.ask(word);
  await expect(waits).rejects.toThrow(why);
  await expect(breaks).rejects.toThrow(why);
  expect(await thread.ask("a")).toBe(1);
});

test("ended, those who wait are told", async () => {
  begin();
  const waits = thread.ask("stay silent");
  thread.end();
  await expect(waits).rejects.toThrow("Lost: it ended");
});

describe("with nothing to do", () => {
  beforeEach(() => void vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] }));
  afterEach(() => void vi.useRealTimers());

  test("it stays for its time, counted from the last answer, and then ends", async () => {
    begin(1_000);
    expect(await thread.ask("a")).toBe(1);
    vi.advanceTimersByTime(900);
    expect(await thread.ask("b")).toBe(2);
    vi.advanceTimersByTime(900);
    expect(await thread.ask("c")).toBe(3);
    vi.advanceTimersByTime(1_000);
    expect(await thread.ask("d")).toBe(1);
  });

  test("it does not end while somebody waits, however long", async () => {
    begin(1_000);
    expect(await thread.ask("a")).toBe(1);
    const waits = thread.ask("stay silent");
    expect(await thread.ask("b")).toBe(2);
    vi.advanceTimersByTime(5_000);
    expect(await thread.ask("c")).toBe(3);
    thread.end();
    await expect(waits).rejects.toThrow("Lost: it ended");
  });
});
