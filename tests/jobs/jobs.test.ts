/** Threads are started from the built output, as they are when the program runs. */
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { mendsOf } from "../../server/facts/mends.ts";
import { neighboursOf } from "../../server/facts/neighbours.ts";
import { createJobs } from "../../server/jobs/jobWorkers.ts";
import { createCompiler } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { Live } from "../../server/live/live.ts";
import { parseMeter } from "../../server/time/meter.ts";
import { HandClock, MemoryFolder } from "../live/memoryFolder.ts";
import { settle, TestPage } from "../live/replica.ts";
import { readMidi } from "../../server/clips/read/file.ts";

const SCRIPT = new URL("../../dist/server/jobs/jobs.worker.js", import.meta.url);
const performance_ = createCompiler()(DEMO);
let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "jobs-"));
});
afterAll(() => rm(folder, { recursive: true }));

const script = async (name: string, code: string): Promise<URL> => {
  const path = join(folder, `${name}.mjs`);
  await writeFile(path, code);
  return new URL(`file://${path}`);
};
const midi = clipFiles(DEMO, performance_).files[0]!.bytes;

test("a MIDI file is read as this thread would read it, and what is none is a problem", async () => {
  const jobs = createJobs(SCRIPT);
  expect(await jobs.readMidi(midi)).toEqual(readMidi(midi));
  expect(await jobs.readMidi(Buffer.from("PK"))).toEqual(readMidi(Buffer.from("PK")));
});

test("of a WAV file it is told how much it holds, or what is wrong", async () => {
  const jobs = createJobs(SCRIPT);
  const path = join(folder, "horn.wav");
  await writeFile(path, wavBytes([new Float32Array(64)], 48_000, 24));
  expect(await jobs.wavFacts(path)).toEqual({
    rate: 48_000,
    channels: 1,
    frames: 64,
    peak: 0,
    clipped: 0,
  });
  await writeFile(path, "no sound");
  expect(await jobs.wavFacts(path)).toEqual(readWav(Buffer.from("no sound")));
});

test("fillings, mends and neighbours are found as this thread would find them; what cannot be is a problem", async () => {
  const jobs = createJobs(SCRIPT);
  const pattern = DEMO.patterns[0]!;
  const placed = { section: "channel", placement: 1 };
  const wish = { steps: 16, groups: [3, 4], top: 5 };
  const [filled, none, mends, beside, bad] = await Promise.all([
    jobs.fill(DEMO.patterns, wish),
    jobs.fill(DEMO.patterns, { ...wish, groups: ["nobody"] }),
    jobs.mends(DEMO, placed),
    jobs.neighbours(pattern, "4/4"),
    jobs.neighbours(pattern, "4/5"),
  ]);
  // Compositions of 16 into threes and fours: four fours, or four threes and one four in any order (1 + 5).
  expect(filled).toMatchObject({ answer: { count: "6" } });
  expect(none).toEqual({ problem: 'There is no phrase "nobody" any more. Choose another.' });
  expect(mends).toEqual(mendsOf(DEMO, placed));
  expect(beside).toEqual({ answer: neighboursOf(pattern, parseMeter("4/4")!) });
  expect(bad).toEqual({ problem: "4/5 is no metre such as 4/4." });
});

test("what a page asks for breaks off when it says so, and the page goes on", async () => {
  const waits = createJobs(await script("asked", "setInterval(() => {}, 1000)"));
  const memory = new MemoryFolder();
  const live = new Live(memory, new HandClock(), () => "", { jobs: waits });
  await live.create("Night Ferry", "demo");
  const page = new TestPage(live).connect();
  await settle();
  page.say({ type: "fill", ask: 5, name: "Night Ferry", steps: 16, groups: [3, 4], top: 5 });
  await settle();
  page.say({ type: "find-cancel", ask: 5 });
  await settle();
  expect(page.last("sorry")).toMatchObject({ ask: 5, message: "Nobody waits for it any more." });
  page.say({ type: "list", ask: 6 });
  await settle();
  expect(page.last("list").ask).toBe(6);
});

test("a thread that breaks, ends, falls silent or takes too much memory is told in a sentence, and another works", async () => {
  const broken = createJobs(await script("broken", "throw new Error('a bug')"));
  await expect(broken.readMidi(midi)).rejects.toThrow("broke off");
  const ended = createJobs(await script("ended", "process.exit(3)"));
  await expect(ended.readMidi(midi)).rejects.toThrow("ended");
  const silent = createJobs(await script("silent", "setInterval(() => {}, 1000)"), { longest: 50 });
  await expect(silent.readMidi(midi)).rejects.toThrow("took too long");
  const greedy = createJobs(
    await script("greedy", "const all = []; for (;;) all.push(new Array(1e6).fill(1.5))"),
    { heap: 48 },
  );
  await expect(greedy.readMidi(midi)).rejects.toThrow("broke off");
  expect(await createJobs(SCRIPT).readMidi(midi)).toEqual(readMidi(midi));
});

test("a thread that nobody waits for any more ends, and lets the next one in", async () => {
  const jobs = createJobs(await script("waits", "setInterval(() => {}, 1000)"));
  const controls = [1, 2, 3, 4].map(() => new AbortController());
  const asked = controls.map(({ signal }) => jobs.readMidi(midi, signal));
  for (const control of controls) control.abort();
  for (const one of asked) await expect(one).rejects.toThrow("Nobody waits");
});

test("more than can wait is refused", async () => {
  const jobs = createJobs(await script("stays", "setInterval(() => {}, 1000)"));
  const controls = Array.from({ length: 18 }, () => new AbortController());
  const asked = controls.map(({ signal }) => jobs.readMidi(midi, signal));
  await expect(jobs.readMidi(midi)).rejects.toThrow("Try again in a moment");
  for (const control of controls) control.abort();
  for (const one of asked) await expect(one).rejects.toThrow("Nobody waits");
});
