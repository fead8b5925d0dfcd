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

async function wavTempo(path: string) {
  const { readWav } = await import("../sound/wavread.ts");
  const [{ tempoOf }, { mono }] = await Promise.all([
    import("../recordings/tempo.ts"),
    import("../recordings/pcm.ts"),
  ]);
  const read = readWav(await readFile(path));
  if ("problem" in read) return read;
  const { rate, channels } = read.wav;
  return tempoOf(mono(channels), rate);
}

function work(start: Start): Promise<unknown> {
  switch (start.kind) {
    case "midi":
      return midi(start.bytes);
    case "wav-facts":
      return wavFacts(start.path);
    case "wav-tempo":
      return wavTempo(start.path);
  }
}

parentPort?.postMessage(await work(workerData as Start));
