/** One thread of a search: asks for blocks, looks at each, and hands over what it kept. See findWorkers.ts. */
import { parentPort, workerData } from "node:worker_threads";
import { giveWay, standAside } from "../jobs/giveWayWorkers.ts";
import { nothingSeen, search } from "./find.ts";
import { planOf } from "./findPlan.ts";
import {
  type FromWorker,
  lookedPlace,
  matchingPlace,
  STOP,
  type ToWorker,
  type WorkerStart,
} from "./findWorkers.ts";

giveWay();

const { question, shared, worker } = workerData as WorkerStart;
const port = parentPort;
const plan = planOf(question);
if (port === null || "refused" in plan) throw new Error("a search thread without a search");

const counts = new BigInt64Array(shared);
const seen = nothingSeen(plan);
const goOn = (): boolean => {
  standAside();
  Atomics.store(counts, lookedPlace(worker), BigInt(seen.looked));
  Atomics.store(counts, matchingPlace(worker), BigInt(seen.matching));
  return Atomics.load(counts, STOP) === 0n;
};
const say = (message: FromWorker): void => port.postMessage(message);
const end = (complete: boolean): void => {
  goOn();
  say({ top: seen.top.list(), complete });
};

port.on("message", (blocks: ToWorker) => {
  if (blocks === null) end(true);
  else if (blocks.every((block) => search(plan, block, seen, goOn))) say("idle");
  else end(false);
});
say("idle");
