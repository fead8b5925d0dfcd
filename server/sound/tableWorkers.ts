/** Asks a worker thread for the tables of a sample. */
import { Worker } from "node:worker_threads";
import type { TableJob } from "./prepare.ts";
import type { Tables } from "./tables.ts";
import type { TablesMessage } from "./tables.worker.ts";

/**
 * @param script URL of the built tables.worker.js; where this module is built itself, the one beside it
 * @param signal stops the work; the promise then rejects with the signal's reason
 * @throws RangeError where the sample cannot be prepared; the message says what to do
 */
export function buildInWorker(
  job: TableJob,
  {
    progress,
    signal,
    script = new URL("./tables.worker.js", import.meta.url),
  }: { progress?: (part: number) => void; signal?: AbortSignal; script?: URL } = {},
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
      else reject(new RangeError(message.problem));
    });
    worker.on("error", reject);
    worker.on("exit", (code) => {
      signal?.removeEventListener("abort", stop);
      reject(new Error(`the worker that prepares sounds ended with ${code}`));
    });
  });
}
