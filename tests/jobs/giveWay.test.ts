/** Threads that work for long stand still while an edit is on its way, and get on also while edits do not end. */
import { Worker } from "node:worker_threads";
import { afterEach, expect, test } from "vitest";
import { handFirst } from "../../server/jobs/giveWayWorkers.ts";

/** A thread needs JavaScript. */
const BUILT = new URL("../../dist/server/jobs/giveWayWorkers.js", import.meta.url);
/** Stands aside again and again, and says each time how long that took, in milliseconds. */
const SCRIPT = new URL(
  `data:text/javascript,${encodeURIComponent(`
    import { parentPort } from "node:worker_threads";
    import { standAside } from "${BUILT}";
    for (let turn = 0; turn < 10_000; turn++) {
      const began = performance.now();
      standAside();
      const stood = performance.now() - began;
      if (turn === 0 || stood > 50) parentPort.postMessage(stood);
      if (stood <= 50) await new Promise((go) => setTimeout(go, 5));
    }`)}`,
);

let thread: Worker | null = null;
afterEach(() => thread?.terminate());

/** The first time it stands still for so long, and what it said before. */
function stands(atLeast: number): Promise<number[]> {
  const said: number[] = [];
  const begun = new Worker(SCRIPT);
  thread = begun;
  return new Promise((resolve, reject) => {
    begun.on("error", reject);
    begun.on("message", (stood: number) => {
      said.push(stood);
      if (stood >= atLeast) resolve(said);
    });
  });
}

test("a thread stands still from an edit on, and not without one", async () => {
  const standing = stands(100);
  const edits = setInterval(handFirst, 600);
  const said = await standing;
  clearInterval(edits);
  expect(said[0]).toBeLessThan(50);
  expect(said.at(-1)).toBeLessThan(600);
});

test("a thread goes on after a second, though edits do not end", async () => {
  const edits = setInterval(handFirst, 20);
  const said = await stands(900);
  clearInterval(edits);
  expect(said.at(-1)).toBeLessThan(3_000);
});
