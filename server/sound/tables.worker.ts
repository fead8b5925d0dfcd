/**
 * Builds tables off the main thread: a second of work must not hold up sound or edits. Started from built output,
 * with a TableJob as its data; sends `{ progress }` as it goes on, then `{ tables }`, whose memory is shared, or
 * `{ problem }`.
 */
import { parentPort, workerData } from "node:worker_threads";
import type { TableJob } from "./prepare.ts";
import { buildTables, type Tables } from "./tables.ts";

export type TablesMessage =
  | { readonly progress: number }
  | { readonly tables: Tables }
  | { readonly problem: string };

const send = (message: TablesMessage): void => parentPort?.postMessage(message);

const { pcm, options } = workerData as TableJob;
try {
  const tables = buildTables(pcm, { ...options, progress: (progress) => send({ progress }) });
  send({ tables });
} catch (error) {
  if (!(error instanceof RangeError)) throw error;
  send({ problem: error.message });
}
