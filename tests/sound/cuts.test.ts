/**
 * Where a sound starts in the file that is written, found from its samples alone, against the exact time. A stroke that
 * is eased sets off from rest: it starts with its cut, faint, and grows as fast as the hand does.
 */
import { beforeAll, describe, expect, it } from "vitest";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { exportWav } from "../../server/sound/export.ts";
import type { Sounds } from "../../server/sound/inFrames.ts";
import { buildTables } from "../../server/sound/tables.ts";
import { readWav, type WavFile } from "../../server/sound/wavread.ts";
import { timelineOf } from "../../server/time/timeline.ts";
import { layOut, secondsAt } from "../reference/layout.ts";
import { play } from "../reference/timeline.ts";
import { allSounds, sounds } from "./playing.ts";

const performance = compile(DEMO);
const timeline = timelineOf(DEMO.sections, performance.sections);

/** The record alone, as `countercut sound --part scratch` writes it. */
function file(with_: Sounds, section?: string, of = DEMO, surface = true): { bytes: Buffer; wav: WavFile } {
  const played = compile(of);
  const wav = exportWav(of, played, timelineOf(of.sections, played.sections), with_, {
    part: "scratch",
    surface,
    ...(section === undefined ? {} : { section }),
  });
  const bytes = Buffer.concat([...wav.pieces()]);
  expect(bytes.length).toBe(wav.size);
  const result = readWav(bytes);
  if ("problem" in result) throw new Error(result.problem);
  return { bytes, wav: result.wav };
}

/**
 * Both channels of a WAV file of 24 bits as whole numbers, read without the program: frames by channel by turns.
 * Source of the layout: Multimedia Programming Interface and Data Specifications 1.0 (IBM and Microsoft, 1991).
 */
function samplesOf(bytes: Buffer): Int32Array {
  let at = 12;
  while (bytes.toString("latin1", at, at + 4) !== "data") at += 8 + bytes.readUInt32LE(at + 4);
  const samples = new Int32Array(bytes.readUInt32LE(at + 4) / 3);
  for (let i = 0; i < samples.length; i++) samples[i] = bytes.readIntLE(at + 8 + 3 * i, 3);
  return samples;
}

/** Frames: a silence is a millisecond; what is over in two is only the fader falling shut over what comes next. */
const [SILENT, SOUNDING] = [48, 96];

/**
 * Frames at which sound starts: the first after a silence that is not silent to the last bit, however faint. What is
 * rendered has no noise of its own, so no threshold has to be chosen. Before the file there is silence.
 */
function starts(samples: Int32Array): number[] {
  const stretches: { start: number; last: number }[] = [];
  for (let frame = 0; frame < samples.length / 2; frame++) {
    if (samples[2 * frame] === 0 && samples[2 * frame + 1] === 0) continue;
    const stretch = stretches.at(-1);
    if (stretch !== undefined && frame - stretch.last <= SILENT) stretch.last = frame;
    else stretches.push({ start: frame, last: frame });
  }
  return stretches.filter(({ start, last }) => last - start >= SOUNDING).map(({ start }) => start);
}

describe("the demo, rendered to a file", () => {
  const own = allSounds(DEMO);
  let bytes: Buffer;
  let scratch: WavFile;
  beforeAll(() => {
    ({ bytes, wav: scratch } = file(own));
  });

  it("is exactly as long as the music", () => {
    expect(scratch.channels[0]).toHaveLength(Math.round(performance.endSeconds * 48_000));
    expect(scratch.rate).toBe(48_000);
    expect(scratch.channels).toHaveLength(2);
    expect(scratch.cut).toBe(false);
  });

  it("opens the fader within a millisecond of the exact time for every cut, half open half a millisecond later", () => {
    // The same faders over records that turn evenly through each cycle, with one constant value on them: what is left
    // in the file is the fader alone.
    const patterns = DEMO.patterns.map((pattern) => ({
      ...pattern,
      record: {
        ...pattern.record,
        strokes: pattern.record.strokes.map(({ length = 1 }) => ({
          move: "forward" as const,
          shape: "even" as const,
          travel: typeof length === "number" ? 40 * length : 40,
          length,
        })),
      },
    }));
    const one = { rate: 48_000, channels: [new Float32Array(48_000).fill(0.5)] };
    const constant = buildTables(one, { repeatSeconds: 1, fastest: 8 });
    const open = file(
      sounds({ voice: constant, horn: constant }),
      undefined,
      { ...DEMO, patterns },
      false,
    ).wav;
    const sound = open.channels[0]!.map(Math.abs);
    let cuts = 0;
    const off: number[] = [];
    for (const { start, performance: section } of performance.sections) {
      for (const cut of section.sounds) {
        if (cut.onset !== "cut") continue;
        const frameOf = (at: number): number => timeline.secondsAt(start + at, "hands") * 48_000;
        const [from, to] = [frameOf(cut.start), frameOf(cut.end)];
        const whole = Math.max(...sound.subarray(Math.round(from), Math.round(Math.min(to, from + 960))));
        cuts++;
        for (let i = Math.floor(from) - 96; i < from + 96; i++) {
          if (sound[i]! < whole / 2 && sound[i + 1]! >= whole / 2) off.push((i + 1 - from) / 48);
        }
      }
    }
    expect(cuts).toBeGreaterThan(250);
    expect(off).toHaveLength(cuts);
    expect(Math.min(...off)).toBeGreaterThan(0.45);
    expect(Math.max(...off)).toBeLessThan(0.6);
  });

  it("starts from silence within a millisecond of the exact time for every cut, and nowhere else", () => {
    const found = starts(samplesOf(bytes));
    const layout = layOut(DEMO);
    const frameOf = (at: bigint): number => secondsAt(layout, at, "hands") * 48_000;
    const played = play(DEMO, layout).flatMap(({ sounds }) => sounds);
    const cuts = played.filter(({ onset }) => onset === "cut").map(({ start }) => frameOf(start));
    expect(cuts.length).toBeGreaterThan(200);
    const nearest = (frame: number, others: readonly number[]): number =>
      others.reduce((best, at) => (Math.abs(at - frame) < Math.abs(best - frame) ? at : best), Infinity);
    const late = cuts.map((cut) => (nearest(cut, found) - cut) / 48);
    expect(Math.min(...late)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...late)).toBeLessThan(1);
    const sounding = played.map(({ start }) => frameOf(start));
    expect(found.filter((frame) => Math.abs(nearest(frame, sounding) - frame) >= 48)).toEqual([]);
  });

  it("marks each section with tempo and metre, and each bar, at the exact frame", () => {
    const bars = DEMO.sections.reduce((sum, { bars: count }) => sum + count, 0);
    expect(scratch.markers).toHaveLength(bars);
    expect(scratch.markers[0]).toEqual({ frame: 0, label: "Quay, 92 quarters a minute, 4/4" });
    expect(scratch.markers[1]).toEqual({ frame: Math.round((4 * 60 * 48_000) / 92), label: "Quay, bar 2" });
    const lights = scratch.markers.find(({ label }) => label.startsWith("Harbour lights,"));
    expect(lights?.label).toBe("Harbour lights, 92 to 97 quarters a minute, 4/4");
    expect(lights?.frame).toBe(Math.round(performance.sections[6]!.startSeconds * 48_000));
  });

  it("gives a section alone as the same sound as in the whole", () => {
    const section = file(own, "swell").wav;
    const { startSeconds, endSeconds } = performance.sections[3]!;
    const from = Math.round(startSeconds * 48_000);
    const frames = Math.round(endSeconds * 48_000) - from;
    expect(section.channels[0]).toHaveLength(frames);
    expect(section.markers[0]?.frame).toBe(0);
    // The limiter has nothing to do here, so the samples are the same but for the last 2 ms.
    const middle = [
      section.channels[0]!.subarray(0, frames - 96),
      scratch.channels[0]!.subarray(from, from + frames - 96),
    ];
    expect(Buffer.compare(Buffer.from(middle[0]!), Buffer.from(middle[1]!))).toBe(0);
  });
});
