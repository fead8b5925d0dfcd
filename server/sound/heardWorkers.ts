/** One thread that draws what is heard, and remembered pictures. */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { sameItems } from "../../schemas/sameItems.ts";
import { LastingThread } from "../jobs/lastingWorkers.ts";
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
  const thread = new LastingThread<HeardJob, Uint8Array>(
    script,
    (error) => error ?? new Error("the thread that draws what is heard ended"),
  );

  return (routine, performance, index, samples) => {
    const job = heardJob(routine, performance, index, samples);
    const key = valuesOf(job, performance, index - job.index);
    const own = performance.sections[index]!.performance;
    const before = known.get(own);
    if (before !== undefined && sameItems(before.key, key)) return before.peaks;
    const peaks = thread.ask(job);
    known.set(own, { key, peaks });
    peaks.catch(() => known.delete(own));
    return peaks;
  };
}
