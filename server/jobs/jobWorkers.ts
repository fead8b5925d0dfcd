/**
 * Starts a thread for each job. A thread that breaks, takes too long or is not wanted any more ends
 * alone: whoever waits for it is told, and everything else goes on.
 */
import { Worker } from "node:worker_threads";
import type { MidiContent } from "../clips/read/file.ts";
import type { FoundTempo } from "../recordings/tempo.ts";
import { Turns } from "./turns.ts";
import { JobBroken, type Jobs, type Problem, type Start, type WavFacts } from "./jobs.ts";

/** Where this module is built, the thread's script is beside it; tests name the built one. */
const SCRIPT = new URL("./jobs.worker.js", import.meta.url);
/** Milliseconds that a job may take. */
const LONGEST = 60_000;
/** Megabytes of a thread's own heap; sound lies outside of it. */
const HEAP = 1024;
/** Threads at a time; what comes meanwhile waits its turn. */
const AT_ONCE = 2;
/** So many may wait. */
const MOST_WAITING = 16;

export function createJobs(script: URL = SCRIPT, { longest = LONGEST, heap = HEAP } = {}): Jobs {
  const turns = new Turns(AT_ONCE);

  function run<Result>(data: Start, signal: AbortSignal | undefined): Promise<Result> {
    return new Promise((resolve, reject) => {
      const worker = new Worker(script, {
        workerData: data,
        resourceLimits: { maxOldGenerationSizeMb: heap },
      });
      // What is told first counts; ending the thread tells that it ended.
      const end = (message: string) => (): void => {
        reject(new JobBroken(message));
        void worker.terminate();
      };
      const stop = end("Nobody waits for it any more.");
      const late = setTimeout(end("It took too long. Try a smaller file, or ask for less."), longest);
      if (signal?.aborted === true) stop();
      signal?.addEventListener("abort", stop, { once: true });
      worker.on("message", resolve);
      worker.on("error", (error) => {
        console.error(error);
        reject(new JobBroken("The thread that worked on it broke off. Nothing else is harmed; try again."));
      });
      worker.once("exit", () => {
        clearTimeout(late);
        signal?.removeEventListener("abort", stop);
        reject(
          new JobBroken("The thread that worked on it ended too early. Nothing else is harmed; try again."),
        );
      });
    });
  }

  async function inTurn<Result>(data: Start, signal?: AbortSignal): Promise<Result> {
    if (turns.waiting >= MOST_WAITING) {
      throw new JobBroken("Too much is being worked on at once. Try again in a moment.");
    }
    return turns.take(() => run<Result>(data, signal));
  }

  return {
    readMidi: (bytes, signal) => inTurn<MidiContent | Problem>({ kind: "midi", bytes }, signal),
    wavFacts: (path, signal) => inTurn<WavFacts | Problem>({ kind: "wav-facts", path }, signal),
    wavTempo: (path, signal) => inTurn<FoundTempo | Problem>({ kind: "wav-tempo", path }, signal),
    fill: (patterns, wish, signal) => inTurn({ kind: "fill", patterns, wish }, signal),
    mends: (routine, place, signal) => inTurn({ kind: "mends", routine, place }, signal),
    neighbours: (pattern, meter, signal) => inTurn({ kind: "neighbours", pattern, meter }, signal),
  };
}
