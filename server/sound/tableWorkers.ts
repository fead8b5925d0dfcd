/** Asks a worker thread for the tables of a sample, or for the sound of drums. */
import { Worker } from "node:worker_threads";
import type { Drum } from "./drums.ts";
import type { BuiltInJob, TableJob } from "./prepare.ts";
import type { Tables } from "./tables.ts";
import type { TablesMessage } from "./tables.worker.ts";

const SCRIPT = new URL("./tables.worker.js", import.meta.url);

interface Options {
  readonly progress?: (part: number) => void;
  readonly signal?: AbortSignal;
  readonly script?: URL;
}

/** @param strokes numbers that a kit gave; the drums come in their order */
export function drumsInWorker(strokes: readonly number[], script = SCRIPT): Promise<readonly Drum[]> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(script, { workerData: { strokes } });
    worker.on("message", (message: TablesMessage) => {
      if ("drums" in message) resolve(message.drums);
    });
    worker.on("error", reject);
    worker.on("exit", () => reject(new Error("the thread that renders drums ended too early")));
  });
}

/**
 * @param script URL of the built tables.worker.js; where this module is built itself, the one beside it
 * @param signal stops the work; the promise then rejects with the signal's reason
 * @throws RangeError where the sample cannot be prepared; the message says what to do
 */
export function buildInWorker(
  job: TableJob | BuiltInJob,
  { progress, signal, script = SCRIPT }: Options = {},
): Promise<Tables> {
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted();
    const worker = new Worker(script, { workerData: job });
    const stop = (): void => {
      reject(signal?.reason);
      void worker.terminate();
    };
    signal?.addEventListener("abort", stop, { once: true });
    worker.on("message", (message: TablesMessage) => {
      if ("progress" in message) progress?.(message.progress);
      else if ("tables" in message) resolve(message.tables);
      else if ("problem" in message) reject(new RangeError(message.problem));
    });
    worker.on("error", reject);
    worker.on("exit", (code) => {
      signal?.removeEventListener("abort", stop);
      reject(new Error(`the worker that prepares sounds ended with ${code}`));
    });
  });
}
