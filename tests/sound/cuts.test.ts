/**
 * Where a sound starts in the file that is written, found from its samples alone, against the exact time. The opening
 * of the fader is one thing, what is heard another: a record that sets off from rest is silent for its first moments.
 */
import { beforeAll, describe, expect, it } from "vitest";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { exportWav } from "../../server/sound/export.ts";
import { buildTables } from "../../server/sound/tables.ts";
import { readWav, type WavFile } from "../../server/sound/wavread.ts";
import { timelineOf } from "../../server/time/timeline.ts";
import { sounds, TONE } from "./playing.ts";

const performance = compile(DEMO);
const timeline = timelineOf(DEMO.sections, performance.sections);

/** Every sample a steady tone, so that what is silent is silent because of hand or fader alone. */
const tones = sounds({ voice: TONE, horn: TONE });

function file(
  part: "mix" | "scratch" | "beat" | "click",
  section?: string,
  of = DEMO,
  with_ = tones,
): WavFile {
  const played = compile(of);
  const wav = exportWav(of, played, timelineOf(of.sections, played.sections), with_, {
    part,
    surface: false,
    ...(section === undefined ? {} : { section }),
  });
  const pieces = [...wav.pieces()];
  const bytes = Buffer.concat(pieces);
  expect(bytes.length).toBe(wav.size);
  const result = readWav(bytes);
  if ("problem" in result) throw new Error(result.problem);
  return result.wav;
}

/** Frames at which sound starts after at least `quiet` frames of silence. */
function starts(sound: Float32Array, quiet: number): number[] {
  const found: number[] = [];
  let silent = quiet;
  for (const [i, value] of sound.entries()) {
    if (Math.abs(value) > 2e-5) {
      if (silent >= quiet) found.push(i);
      silent = 0;
    } else silent++;
  }
  return found;
}

describe("the demo, rendered to a file", () => {
  let scratch: WavFile;
  beforeAll(() => {
    scratch = file("scratch");
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
      "scratch",
      undefined,
      { ...DEMO, patterns },
      sounds({ voice: constant, horn: constant }),
    );
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

  it("is heard within a millisecond of a cut where the record turns, within five where it sets off from rest", () => {
    const quiet = 300;
    const found = starts(scratch.channels[0]!, quiet);
    // Cuts before which the fader was shut, closing included, for longer than the silence that is looked for. Where
    // the stroke starts with the cut and is eased, the record stands still: it is heard as soon as it moves enough.
    const hard: number[] = [];
    const soft: number[] = [];
    let shut = 0;
    for (const { start, performance: section } of performance.sections) {
      for (const { onset, ...sound } of section.sounds) {
        const at = timeline.secondsAt(start + sound.start, "hands") * 48_000;
        const stroke = section.strokes.findLast((one) => one.start <= sound.start)!;
        const still = stroke.start === sound.start && stroke.shape !== "even";
        if (onset === "cut" && at - shut > quiet + 80) (still ? soft : hard).push(at);
        shut = timeline.secondsAt(start + sound.end, "hands") * 48_000;
      }
    }
    const late = (frame: number): number => {
      const nearest = found.reduce(
        (best, at) => (Math.abs(at - frame) < Math.abs(best - frame) ? at : best),
        0,
      );
      return (nearest - frame) / 48;
    };
    expect(hard.length).toBeGreaterThan(35);
    expect(soft.length).toBeGreaterThan(200);
    expect(Math.max(...hard.map((frame) => Math.abs(late(frame))))).toBeLessThan(1);
    expect(Math.min(...soft.map(late))).toBeGreaterThan(-0.4);
    expect(Math.max(...soft.map(late))).toBeLessThan(5);
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
    const section = file("scratch", "swell");
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
