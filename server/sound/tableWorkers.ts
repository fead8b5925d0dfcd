/** Asks a worker thread for the tables of a sample, or for the sound of drums. */
import { Worker } from "node:worker_threads";
import type { Drum } from "./drums.ts";
import type { BuiltInJob, TableJob } from "./prepare.ts";
import type { Tables } from "./tables.ts";
import type { TablesMessage } from "./tables.worker.ts";

interface Options {
  /** Stops the work; the promise then rejects with the signal's reason. */
  readonly signal?: AbortSignal;
  /** URL of the built tables.worker.js; where this module is built itself, the one beside it. */
  readonly script?: URL;
}

/** @param strokes numbers that a kit gave; the drums come in their order */
export function drumsInWorker(strokes: readonly number[], options: Options = {}): Promise<readonly Drum[]> {
  return inThread({ strokes }, options, (message, resolve) => {
    if ("drums" in message) resolve(message.drums);
  });
}

/** @throws RangeError where the sample cannot be prepared; the message says what to do */
export function buildInWorker(
  job: TableJob | BuiltInJob,
  { progress, ...options }: Options & { readonly progress?: (part: number) => void } = {},
): Promise<Tables> {
  return inThread(job, options, (message, resolve, reject) => {
    if ("progress" in message) progress?.(message.progress);
    else if ("tables" in message) resolve(message.tables);
    else if ("problem" in message) reject(new RangeError(message.problem));
  });
}

function inThread<Result>(
  told: unknown,
  { signal, script = new URL("./tables.worker.js", import.meta.url) }: Options,
  heard: (message: TablesMessage, resolve: (result: Result) => void, reject: (why: Error) => void) => void,
): Promise<Result> {
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted();
    const worker = new Worker(script, { workerData: told });
    const stop = (): void => {
      reject(signal?.reason);
      void worker.terminate();
    };
    signal?.addEventListener("abort", stop, { once: true });
    worker.on("message", (message: TablesMessage) => heard(message, resolve, reject));
    worker.on("error", reject);
    worker.on("exit", (code) => {
      signal?.removeEventListener("abort", stop);
      reject(new Error(`the thread that prepares sounds ended with ${code}`));
    });
  });
}
