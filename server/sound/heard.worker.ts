/** Draws what is heard off the main thread. */
import { parentPort } from "node:worker_threads";
import { giveWay, standAside } from "../jobs/giveWayWorkers.ts";
import type { Answered, Asked } from "../jobs/lastingWorkers.ts";
import { type HeardJob, heardPeaks } from "./heard.ts";

giveWay();

parentPort?.on("message", ({ number, question }: Asked<HeardJob>) => {
  parentPort?.postMessage({
    number,
    answer: heardPeaks(question, standAside),
  } satisfies Answered<Uint8Array>);
});
