/** Does one job, in a thread of its own, and says what came of it. Loads what the work needs, no more. */
import { readFile } from "node:fs/promises";
import { parentPort, workerData } from "node:worker_threads";
import { giveWay } from "./giveWayWorkers.ts";
import type { Problem, Start, StartOf, WavFacts } from "./jobs.ts";

giveWay();

/** Samples at or beyond this stand at the end of the scale. */
const FULL = 0.9999;

async function midi(bytes: Uint8Array) {
  const { readMidi } = await import("../clips/read/file.ts");
  return readMidi(bytes);
}

async function wavFacts(path: string): Promise<WavFacts | Problem> {
  const { readWav } = await import("../sound/wavread.ts");
  const read = readWav(await readFile(path));
  if ("problem" in read) return read;
  const { rate, channels } = read.wav;
  let peak = 0;
  let clipped = 0;
  for (const channel of channels) {
    for (const value of channel) {
      const size = Math.abs(value);
      if (size > peak) peak = size;
      if (size >= FULL) clipped++;
    }
  }
  return { rate, channels: channels.length, frames: channels[0]?.length ?? 0, peak, clipped };
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

async function fill({ patterns, wish }: StartOf<"fill">) {
  const [{ fill: fillings, groupOf }, { fraction }] = await Promise.all([
    import("../facts/fill.ts"),
    import("../../schemas/fraction.ts"),
  ]);
  const { steps, groups, pins = [], top, step = "1/16" } = wish;
  const gone = groups.find((group) => typeof group === "string" && !patterns.some(({ id }) => id === group));
  if (gone !== undefined) return { problem: `There is no phrase "${gone}" any more. Choose another.` };
  const named = groups.map((group) =>
    typeof group === "number"
      ? { name: String(group), length: fraction(BigInt(group)) }
      : groupOf(patterns.find(({ id }) => id === group) as (typeof patterns)[number], step),
  );
  const answer = fillings({
    gap: fraction(BigInt(steps)),
    groups: named,
    pins: pins.map(({ at, starts, ends }) => ({
      at: fraction(BigInt(at)),
      ...(starts === undefined ? {} : { starts: String(starts) }),
      ...(ends === undefined ? {} : { ends: String(ends) }),
    })),
    top,
  });
  if ("refused" in answer) return { problem: answer.refused };
  const best = answer.best.map((filling) => filling.map((index) => groups[index] as number | string));
  return { answer: { count: answer.count.toString(), best } };
}

async function mends({ routine, place }: StartOf<"mends">) {
  const { mendsOf } = await import("../facts/mends.ts");
  return mendsOf(routine, place);
}

async function neighbours({ pattern, meter }: StartOf<"neighbours">) {
  const [{ neighboursOf }, { patternProblems }, { parseMeter }] = await Promise.all([
    import("../facts/neighbours.ts"),
    import("../routine/checkPattern.ts"),
    import("../time/meter.ts"),
  ]);
  const [fault] = patternProblems(pattern);
  if (fault !== undefined) return { problem: fault.message };
  const parsed = parseMeter(meter);
  if (parsed === null) return { problem: `${meter} is no metre such as 4/4.` };
  return { answer: neighboursOf(pattern, parsed) };
}

function work(start: Start): Promise<unknown> {
  switch (start.kind) {
    case "midi":
      return midi(start.bytes);
    case "wav-facts":
      return wavFacts(start.path);
    case "wav-tempo":
      return wavTempo(start.path);
    case "fill":
      return fill(start);
    case "mends":
      return mends(start);
    case "neighbours":
      return neighbours(start);
  }
}

parentPort?.postMessage(await work(workerData as Start));
