/** Has a recording compared by a thread of its own. */
import { Worker } from "node:worker_threads";
import type { CompareAnswer, CompareJob, CompareMessage } from "./compare.worker.ts";
import { type Progress, untold } from "./progress.ts";

interface Options {
  readonly progress?: Progress;
  /** Ends the work; the promise then rejects with the signal's reason. */
  readonly signal?: AbortSignal | undefined;
  readonly script?: URL;
}

const SCRIPT = new URL("./compare.worker.js", import.meta.url);

/** @throws where the thread fails, and where it is not wanted any more */
export function compareInWorker(
  job: CompareJob,
  { progress = untold, signal, script = SCRIPT }: Options = {},
): Promise<CompareAnswer> {
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted();
    const worker = new Worker(script, { workerData: job });
    const stop = (): void => {
      reject(signal?.reason);
      void worker.terminate();
    };
    signal?.addEventListener("abort", stop, { once: true });
    worker.on("message", (message: CompareMessage) => {
      if ("progress" in message) progress(message.progress);
      else resolve(message);
    });
    worker.on("error", reject);
    worker.on("exit", () => {
      signal?.removeEventListener("abort", stop);
      reject(new Error("the thread that compares recordings ended"));
    });
  });
}
