/**
 * One thread makes the clips of all open routines, so that what it made before is there after the next edit. It is
 * started when it is first needed, and anew when it broke off.
 */
import { Worker } from "node:worker_threads";
import { NoExactResolution } from "../clips/making.ts";
import type { ClipWork, FromClips, Packed, ToClips } from "./clips.ts";
import { JobBroken } from "./jobs.ts";

/** Where this module is built, the thread's script is beside it; tests name the built one. */
const SCRIPT = new URL("./clips.worker.js", import.meta.url);
const BROKEN = "The thread that makes the clips broke off. Nothing else is harmed; try again.";

interface Waiting {
  readonly resolve: (made: never) => void;
  readonly reject: (error: Error) => void;
}
type Wish = ToClips extends infer One ? (One extends ToClips ? Omit<One, "number"> : never) : never;

export function createClipWork(script: URL = SCRIPT): ClipWork {
  const waiting = new Map<number, Waiting>();
  let worker: Worker | null = null;
  let last = 0;

  function thread(): Worker {
    if (worker !== null) return worker;
    const started = new Worker(script);
    const lost = (error?: unknown): void => {
      if (worker !== started) return;
      if (error instanceof Error) console.error(error);
      worker = null;
      for (const { reject } of waiting.values()) reject(new JobBroken(BROKEN));
      waiting.clear();
    };
    started.on("error", lost);
    started.on("exit", lost);
    started.on("message", (answer: FromClips) => {
      const one = waiting.get(answer.number);
      waiting.delete(answer.number);
      // With nothing to do it keeps no program from ending.
      if (waiting.size === 0) started.unref();
      if ("made" in answer) one?.resolve(answer.made as never);
      else one?.reject(answer.failed === "bug" ? new JobBroken(BROKEN) : new NoExactResolution());
    });
    worker = started;
    return started;
  }

  function ask<Made>(wish: Wish): Promise<Made> {
    return new Promise((resolve, reject) => {
      last += 1;
      waiting.set(last, { resolve, reject });
      const asked = thread();
      asked.ref();
      asked.postMessage({ ...wish, number: last });
    });
  }

  return {
    async clips(asked) {
      const { bytes, files, ...rest } = await ask<Packed>({ want: "clips", asked });
      let at = 0;
      return {
        ...rest,
        files: files.map(({ length, ...file }) => {
          at += length;
          return { ...file, bytes: bytes.subarray(at - length, at) };
        }),
      };
    },
    zip: (asked) => ask<Uint8Array>({ want: "zip", asked }),
    account: (bytes, most) => ask({ want: "account", bytes, most }),
    close() {
      void worker?.terminate();
    },
  };
}
