/**
 * Builds tables off the main thread: a second of work must not hold up sound or edits. Started from built output,
 * with a job as its data; sends `{ progress }` as it goes on, then `{ tables }`, whose memory is shared, or
 * `{ problem }`. Told strokes of drums (see kit.ts), it sends `{ drums }` in their order.
 */
import { parentPort, workerData } from "node:worker_threads";
import { giveWay } from "../jobs/giveWayWorkers.ts";
import type { Drum } from "./drums.ts";
import { renderStroke } from "./kit.ts";
import { type BuiltInJob, sampleJob, type TableJob } from "./prepare.ts";
import { buildTables, type Tables } from "./tables.ts";

giveWay();

export type TablesMessage =
  | { readonly progress: number }
  | { readonly tables: Tables }
  | { readonly drums: readonly Drum[] }
  | { readonly problem: string };

const send = (message: TablesMessage): void => parentPort?.postMessage(message);

function build(job: TableJob | BuiltInJob): void {
  const { pcm, options } = "sample" in job ? (sampleJob(job.sample, job.rig, null) as TableJob) : job;
  try {
    const tables = buildTables(pcm, { ...options, progress: (progress) => send({ progress }) });
    send({ tables });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    send({ problem: error.message });
  }
}

const told = workerData as TableJob | BuiltInJob | { readonly strokes: readonly number[] };
if ("strokes" in told) send({ drums: told.strokes.map(renderStroke) });
else build(told);
