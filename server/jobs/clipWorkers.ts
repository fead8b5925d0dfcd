/** One thread makes the clips of all open routines, so that what it made before is there after the next edit. */
import { NoExactResolution } from "../clips/making.ts";
import type { ClipWork, FromClips, Packed, ToClips } from "./clips.ts";
import { JobBroken } from "./jobs.ts";
import { LastingThread } from "./lastingWorkers.ts";

/** Where this module is built, the thread's script is beside it; tests name the built one. */
const SCRIPT = new URL("./clips.worker.js", import.meta.url);
const BROKEN = "The thread that makes the clips broke off. Nothing else is harmed; try again.";

export function createClipWork(script: URL = SCRIPT): ClipWork {
  const thread = new LastingThread<ToClips, FromClips>(script, (error) => {
    if (error !== undefined) console.error(error);
    return new JobBroken(BROKEN);
  });

  async function ask<Made>(wish: ToClips, tell?: (done: number) => void): Promise<Made> {
    const answer = await thread.ask(wish, tell);
    if ("made" in answer) return answer.made as Made;
    if (answer.failed === "ended") throw new DOMException("It was ended.", "AbortError");
    throw answer.failed === "bug" ? new JobBroken(BROKEN) : new NoExactResolution();
  }

  return {
    async clips(asked, follow) {
      const ended = new Int32Array(new SharedArrayBuffer(4));
      follow?.signal.addEventListener("abort", () => Atomics.store(ended, 0, 1), { once: true });
      const { bytes, files, ...rest } = await ask<Packed>({ want: "clips", asked, ended }, follow?.tell);
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
    close: () => thread.end(),
  };
}
