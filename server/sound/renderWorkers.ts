/** Has a WAV file rendered by a thread of its own, piece by piece as it is taken. */
import { once } from "node:events";
import { Worker } from "node:worker_threads";
import type { WavJob, WavMeasure, WavSize } from "./render.worker.ts";

export interface RenderedWav extends WavSize {
  /**
   * The file, in order. The thread renders as it is read, two pieces ahead, and ends with the reading: at the last
   * piece, or where the reader breaks off.
   */
  pieces(): AsyncGenerator<Uint8Array, void, undefined>;
  /** What was measured; null before the last piece is given: with it, so that who has all of the file can ask. */
  measured(): WavMeasure | null;
  /** Ends the thread where the pieces are not wanted after all. */
  cancel(): void;
}

export type RenderWav = (job: WavJob) => Promise<RenderedWav>;

const AHEAD = 2;

/**
 * @param script URL of the built render.worker.js; where this module is built itself, the one beside it
 * @throws Error where the thread fails, a section that is not there included
 */
export async function renderWav(
  job: WavJob,
  script = new URL("./render.worker.js", import.meta.url),
): Promise<RenderedWav> {
  const worker = new Worker(script, { workerData: job });
  const arrived: (Uint8Array | WavMeasure)[] = [];
  let measure: WavMeasure | null = null;
  let failure: unknown = null;
  let wake = (): void => {};
  const fail = (error: unknown): void => {
    failure ??= error;
    wake();
  };
  worker.on("error", fail);
  worker.on("exit", () => fail(new Error("the thread that renders sound ended")));
  const [first] = (await once(worker, "message")) as [WavSize];
  worker.on("message", (piece: Uint8Array | WavMeasure) => {
    arrived.push(piece);
    wake();
  });
  const cancel = (): void => void worker.terminate();

  async function* pieces(): AsyncGenerator<Uint8Array, void, undefined> {
    try {
      for (let i = 0; i < AHEAD; i++) worker.postMessage("more");
      // One piece is held back: which is the last is known when what was measured comes after it.
      let held: Uint8Array | null = null;
      while (true) {
        if (arrived.length === 0) {
          if (failure !== null) throw failure;
          await new Promise<void>((resolve) => {
            wake = resolve;
          });
          continue;
        }
        const piece = arrived.shift();
        if (piece === undefined) return;
        if (!(piece instanceof Uint8Array)) {
          measure = piece;
          if (held !== null) yield held;
          return;
        }
        worker.postMessage("more");
        if (held !== null) yield held;
        held = piece;
      }
    } finally {
      cancel();
    }
  }
  return { ...first, pieces, measured: () => measure, cancel };
}
