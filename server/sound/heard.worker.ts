/** Draws what is heard off the main thread: for each `{ id, job }` that comes, `{ id, peaks }`. */
import { parentPort } from "node:worker_threads";
import { type HeardJob, heardPeaks } from "./heard.ts";

parentPort?.on("message", ({ id, job }: { readonly id: number; readonly job: HeardJob }) => {
  parentPort?.postMessage({ id, peaks: heardPeaks(job) });
});
