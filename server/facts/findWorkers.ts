/**
 * A search on several threads. Blocks of the space are handed out a few at a time to whoever is idle; what each has
 * seen stands in shared memory, so that progress can be asked for at any moment and costs nobody a message, and a
 * search that is given up stops within some thousand combinations.
 */
import { Worker } from "node:worker_threads";
import type { FindAnswer, FindProgress, FindQuestion, Found } from "../../schemas/find.ts";
import type { Refused } from "./fill.ts";
import { listing, nothingSeen, search } from "./find.ts";
import { type FindPlan, planOf } from "./findPlan.ts";
import { type Block, blocksOf, sizeOf } from "./findSpace.ts";
import { type Ranked, Top } from "./findTop.ts";

export interface Search {
  /** Rejects only where a thread fails; a search that was given up answers with what it saw. */
  readonly answer: Promise<FindAnswer>;
  /** What has been seen until now. */
  progress(): FindProgress;
  cancel(): void;
}

/** What a thread is started with. */
export interface WorkerStart {
  readonly question: FindQuestion;
  readonly shared: SharedArrayBuffer;
  /** Its number, from 0. */
  readonly worker: number;
}
/** A thread asks for work, or says at the end what it kept. */
export type FromWorker = "idle" | { readonly top: readonly Ranked<Found>[]; readonly complete: boolean };
/** Some blocks, or null: there are no more. */
export type ToWorker = readonly Block[] | null;

/** Places in shared memory: whether to stop, then two for each worker. */
export const STOP = 0;
export const lookedPlace = (worker: number): number => 1 + 2 * worker;
export const matchingPlace = (worker: number): number => 2 + 2 * worker;

/** Fewer than these are looked at here and now: a thread takes longer to start. */
const FEW = 20_000n;
/** A thread takes half a second of work to start and to grow quick, so it is worth about as many as these. */
const WORTH_A_THREAD = 1_000_000n;
/** Handed out at a time: about so many combinations, and no more blocks than this. */
const AT_A_TIME = 200_000;
const MOST_BLOCKS = 64;

const answerOf = (count: bigint | number, top: readonly Ranked<Found>[], complete: boolean): FindAnswer => ({
  count: count.toString(),
  combinations: top.map(({ item }) => item),
  complete,
});

/** @param workers how many threads, from 1 */
export function startSearch(question: FindQuestion, workers: number): Search | Refused {
  const plan = planOf(question);
  if ("refused" in plan) return plan;
  if (plan.condition === null && plan.value === null) return finished(plan, firstOf(plan));
  if (plan.total <= FEW) {
    const seen = nothingSeen(plan);
    for (const block of blocksOf(question.space)) search(plan, block, seen, () => true);
    return finished(plan, answerOf(seen.matching, seen.top.list(), true));
  }
  const worth = Number(plan.total / WORTH_A_THREAD) + 1;
  return onThreads(plan, Math.min(workers, worth));
}

/** Nothing to look at: the number is known, and the first are the first. */
function firstOf(plan: FindPlan): FindAnswer {
  const combinations: Found[] = [];
  if (plan.question.top > 0) {
    for (const { found } of listing(plan)) {
      combinations.push(found);
      if (combinations.length === plan.question.top) break;
    }
  }
  return { count: plan.total.toString(), combinations, complete: true };
}

function finished({ total }: FindPlan, answer: FindAnswer): Search {
  const whole = total.toString();
  return {
    answer: Promise.resolve(answer),
    progress: () => ({ looked: whole, total: whole, matching: answer.count }),
    cancel: () => {},
  };
}

function* batches(plan: FindPlan): Generator<readonly Block[]> {
  let batch: Block[] = [];
  let size = 0;
  for (const block of blocksOf(plan.question.space)) {
    batch.push(block);
    size += sizeOf(block, plan.question.space);
    if (size < AT_A_TIME && batch.length < MOST_BLOCKS) continue;
    yield batch;
    batch = [];
    size = 0;
  }
  if (batch.length > 0) yield batch;
}

function onThreads(plan: FindPlan, workers: number): Search {
  const { question } = plan;
  const shared = new SharedArrayBuffer(8 * (1 + 2 * workers));
  const counts = new BigInt64Array(shared);
  const sum = (place: (worker: number) => number): bigint => {
    let total = 0n;
    for (let worker = 0; worker < workers; worker++) total += Atomics.load(counts, place(worker));
    return total;
  };
  const work = batches(plan);
  const top = new Top<Found>(question.top);
  let complete = true;
  const threads: Worker[] = [];
  const running = Array.from({ length: workers }, (_, worker) => {
    const start: WorkerStart = { question, shared, worker };
    const thread = new Worker(new URL("./find.worker.js", import.meta.url), { workerData: start });
    threads.push(thread);
    return new Promise<void>((resolve, reject) => {
      thread.on("message", (message: FromWorker) => {
        if (message === "idle") {
          const next = Atomics.load(counts, STOP) === 0n ? work.next() : undefined;
          if (next === undefined) complete = false;
          const batch: ToWorker = next === undefined || next.done === true ? null : next.value;
          thread.postMessage(batch);
        } else {
          for (const ranked of message.top) top.add(ranked);
          complete &&= message.complete;
          resolve();
        }
      });
      thread.on("error", reject);
      thread.on("exit", () => reject(new Error("a search thread ended before it was done")));
    });
  });
  const answer = Promise.all(running)
    .then(() => answerOf(sum(matchingPlace), top.list(), complete))
    .finally(() => Promise.all(threads.map((thread) => thread.terminate())));
  return {
    answer,
    progress: () => ({
      looked: sum(lookedPlace).toString(),
      total: plan.total.toString(),
      matching: sum(matchingPlace).toString(),
    }),
    cancel: () => {
      Atomics.store(counts, STOP, 1n);
    },
  };
}
