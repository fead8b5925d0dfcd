/** One thread that draws what is heard, started when it is first asked, and remembered pictures. */
import { Worker } from "node:worker_threads";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { type HeardJob, heardJob } from "./heard.ts";
import type { Tables } from "./tables.ts";

export type Heard = (
  routine: Routine,
  performance: Performance,
  index: number,
  samples: ReadonlyMap<string, Tables>,
) => Promise<Uint8Array>;

/** What a picture depends on, all immutable values: another value is another picture. */
const valuesOf = ({ routine, performance, samples }: HeardJob, whole: Performance, index: number) => [
  whole.leadInBars,
  routine.rig,
  ...routine.sections,
  ...performance.sections.map((_, i) => whole.sections[index + i]!.performance),
  ...samples.values(),
];

/** @param script URL of the built heard.worker.js; where this module is built itself, the one beside it */
export function createHeard(script = new URL("./heard.worker.js", import.meta.url)): Heard {
  const known = new WeakMap<
    object,
    { readonly key: readonly unknown[]; readonly peaks: Promise<Uint8Array> }
  >();
  const waiting = new Map<number, { resolve(peaks: Uint8Array): void; reject(error: unknown): void }>();
  let worker: Worker | null = null;
  let asked = 0;

  function started(): Worker {
    if (worker !== null) return worker;
    const thread = new Worker(script);
    thread.on("message", ({ id, peaks }: { readonly id: number; readonly peaks: Uint8Array }) => {
      waiting.get(id)?.resolve(peaks);
      waiting.delete(id);
    });
    const broken = (error: unknown): void => {
      if (worker === thread) worker = null;
      for (const { reject } of waiting.values()) reject(error);
      waiting.clear();
    };
    thread.on("error", broken);
    thread.on("exit", () => broken(new Error("the thread that draws what is heard ended")));
    // It does not keep the program alive; said last, since listening to a thread holds on to it again.
    thread.unref();
    worker = thread;
    return thread;
  }

  return (routine, performance, index, samples) => {
    const job = heardJob(routine, performance, index, samples);
    const key = valuesOf(job, performance, index - job.index);
    const own = performance.sections[index]!.performance;
    const before = known.get(own);
    if (before?.key.length === key.length && before.key.every((value, i) => value === key[i])) {
      return before.peaks;
    }
    const peaks = new Promise<Uint8Array>((resolve, reject) => {
      const id = ++asked;
      waiting.set(id, { resolve, reject });
      started().postMessage({ id, job });
    });
    known.set(own, { key, peaks });
    peaks.catch(() => known.delete(own));
    return peaks;
  };
}
