/** Reads one file, in a thread of its own, and says what came of it. Loads what the work needs, no more. */
import { readFile } from "node:fs/promises";
import { parentPort, workerData } from "node:worker_threads";
import type { Problem, Start, WavFacts } from "./jobs.ts";

async function midi(bytes: Uint8Array) {
  const { readMidi } = await import("../clips/read/file.ts");
  return readMidi(bytes);
}

async function wavFacts(path: string): Promise<WavFacts | Problem> {
  const { readWav } = await import("../sound/wavread.ts");
  const read = readWav(await readFile(path));
  if ("problem" in read) return read;
  const { rate, channels } = read.wav;
  return { rate, channels: channels.length, frames: channels[0]?.length ?? 0 };
}

const start = workerData as Start;
parentPort?.postMessage(await (start.kind === "midi" ? midi(start.bytes) : wavFacts(start.path)));
