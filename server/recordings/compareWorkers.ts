/** Has a recording compared by a thread of its own. */
import { Worker } from "node:worker_threads";
import type { CompareAnswer, CompareJob } from "./compare.worker.ts";

/** @throws where the thread fails */
export function compareInWorker(
  job: CompareJob,
  script = new URL("./compare.worker.js", import.meta.url),
): Promise<CompareAnswer> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(script, { workerData: job });
    worker.on("message", resolve);
    worker.on("error", reject);
    worker.on("exit", () => reject(new Error("the thread that compares recordings ended")));
  });
}
