/** The record's voice against libsamplerate, and the whole block loop against real time. */
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BenchRow } from "./row.ts";

/** What is measured is what is shipped: the built JavaScript, not the bundler's rendering of the sources. */
const native = new Function("url", "return import(url)") as (url: string) => Promise<unknown>;
async function built<Module>(path: string): Promise<Module> {
  const url = new URL(`../../dist/server/${path}.js`, import.meta.url);
  if (!existsSync(url)) throw new Error("npm run build comes first: the bench measures what is built.");
  return (await native(url.href)) as Module;
}
const { compile } = await built<typeof import("../../server/routine/compile.ts")>("routine/compile");
const { DEMO } = await built<typeof import("../../server/routine/demo.ts")>("routine/demo");
const { createClicks } = await built<typeof import("../../server/sound/clicks.ts")>("sound/clicks");
const { createKit } = await built<typeof import("../../server/sound/kit.ts")>("sound/kit");
const { createLimiter } = await built<typeof import("../../schemas/limiter.ts")>("../schemas/limiter");
const { DEFAULT_LEVELS, mix } = await built<typeof import("../../server/sound/mix.ts")>("sound/mix");
const { sampleJob } = await built<typeof import("../../server/sound/prepare.ts")>("sound/prepare");
const { createRenderer, newChannels } =
  await built<typeof import("../../server/sound/render.ts")>("sound/render");
const { builtInSample } = await built<typeof import("../../server/sound/samples.ts")>("sound/samples");
const { buildTables } = await built<typeof import("../../server/sound/tables.ts")>("sound/tables");
const { CELL, newCell, readCell } = await built<typeof import("../../server/sound/voice.ts")>("sound/voice");
const { timelineOf } = await built<typeof import("../../server/time/timeline.ts")>("time/timeline");

const RATE = 48_000;
const SECONDS = 60;
/** Speed of both in this comparison: it never comes to rest, which the library cannot do, nor turns back. */
const speedAt = (frame: number): number => 1.7 + 1.3 * Math.sin((2 * Math.PI * 3 * frame) / RATE);

/**
 * Seconds of processor time, of which other programs take none. Run several times, the best counts: neighbours on the
 * same core only ever slow it down.
 */
function best(times: number, work: () => void): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < times; i++) {
    const start = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(start);
    least = Math.min(least, (user + system) / 1e6);
  }
  return least;
}

function voice(): number {
  const tables = buildTables(builtInSample("vowel", 1.8), { repeatSeconds: 1.8 });
  const cell = newCell();
  cell.gain.fill(1);
  const [left, right] = [new Float32Array(CELL), new Float32Array(CELL)];
  const seconds = best(5, () => {
    let position = 0;
    for (let start = 0; start < SECONDS * RATE; start += CELL) {
      cell.speed[0] = speedAt(start);
      cell.speed[1] = speedAt(start + CELL);
      const change = (cell.speed[1]! - cell.speed[0]!) / CELL;
      for (let i = 0; i < CELL; i++) {
        cell.at[i] = position;
        position += cell.speed[0]! + change * i;
      }
      left.fill(0);
      readCell(tables, cell, 0, CELL, left, right, 0);
    }
  });
  return SECONDS / seconds;
}

/** The same minute by the library, mono, 16 frames a call with a new ratio each, as a moving hand would ask. */
const PROGRAM = `
#include <math.h>
#include <samplerate.h>
#include <stdio.h>
#include <time.h>
#define RATE 48000
static float in[1 << 16], out[64];
int main(void) {
  for (int i = 0; i < (1 << 16); i++) in[i] = sinf(i * 0.05f);
  double least = 1e9;
  for (int round = 0; round < 5; round++) {
    int error;
    SRC_STATE *state = src_new(SRC_SINC_FASTEST, 1, &error);
    struct timespec a, b;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &a);
    long made = 0, at = 0;
    while (made < 60L * RATE) {
      double speed = 1.7 + 1.3 * sin(2 * M_PI * 3 * made / RATE);
      SRC_DATA d = {.data_in = in + at, .data_out = out, .input_frames = (1 << 16) - at, .output_frames = 16,
                    .src_ratio = 1 / speed};
      if (src_process(state, &d)) return 1;
      made += d.output_frames_gen;
      at += d.input_frames_used;
      if (at > (1 << 15)) at -= 1 << 15;
    }
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &b);
    double t = b.tv_sec - a.tv_sec + (b.tv_nsec - a.tv_nsec) * 1e-9;
    if (t < least) least = t;
    src_delete(state);
  }
  printf("%f\\n", least);
  return 0;
}
`;

/** Times real time, or null where compiler or library are not there. */
function library(): number | null {
  const folder = mkdtempSync(join(tmpdir(), "countercut-bench-"));
  try {
    const source = join(folder, "bench.c");
    const program = join(folder, "bench");
    writeFileSync(source, PROGRAM);
    execFileSync("gcc", ["-O2", "-o", program, source, "-lsamplerate", "-lm"], { stdio: "pipe" });
    return SECONDS / Number(execFileSync(program, { encoding: "utf8" }));
  } catch {
    return null;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The demo, block by block: record in stereo, gate, drums, mix, limiter, 16 bits. */
function blocks(surface: boolean): number {
  const performance = compile(DEMO);
  const timeline = timelineOf(DEMO.sections, performance.sections);
  const samples = new Map(
    DEMO.rig!.samples!.map((sample) => {
      const { pcm, options } = sampleJob(sample, DEMO.rig, null)!;
      return [sample.id, buildTables(pcm, options)] as const;
    }),
  );
  const sounds = { samples, beats: new Map(), kit: createKit(), clicks: createClicks() };
  const size = 1024;
  const channels = newChannels(size);
  const out = [new Float32Array(size), new Float32Array(size)] as const;
  const sixteen = new Int16Array(2 * size);
  let frames = 0;
  const seconds = best(5, () => {
    const renderer = createRenderer(DEMO, performance, timeline, sounds, { surface });
    const limiter = createLimiter();
    frames = renderer.frames;
    for (let at = 0; at < frames; at += size) {
      renderer.block(at, size, channels);
      mix(channels, DEFAULT_LEVELS, size, out);
      limiter.process(out[0], out[1], size);
      for (let i = 0; i < size; i++) {
        sixteen[2 * i] = 32_767 * out[0][i]!;
        sixteen[2 * i + 1] = 32_767 * out[1][i]!;
      }
    }
  });
  return frames / RATE / seconds;
}

const times = (value: number): string => `${Math.round(value)} × real time`;

export async function bench(): Promise<BenchRow[]> {
  const ours = voice();
  const theirs = library();
  const row = (what: string, figure: number, goal: string): BenchRow => ({
    what,
    figure: times(figure),
    against: "real time",
    ratio: `${figure.toFixed(0)}×`,
    goal,
  });
  return [
    {
      what: "voice, speed varying from 0.4 to 3, mono",
      figure: times(ours),
      against: theirs === null ? "libsamplerate: not installed" : `SINC_FASTEST ${times(theirs)}`,
      ratio: theirs === null ? "–" : `${(ours / theirs).toFixed(1)}×`,
      goal: "6×, at least 3×",
    },
    row("demo, whole block loop in stereo", blocks(false), "450×, at least 250×"),
    row("the same with the record's surface", blocks(true), "450×, at least 250×"),
  ];
}
