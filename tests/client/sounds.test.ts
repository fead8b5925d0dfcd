/** Sounds that the user brings: kept as WAV, drawn as peaks, and a recorded beat's numbers. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { peaksOf } from "../../client/sounds/peaks.ts";
import { beatsIn, sixteenthsIn, tappedTempo } from "../../client/sounds/recordedBeats.ts";
import { freeName } from "../../client/sounds/soundFiles.ts";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { holds } from "../reference/laws.ts";

describe("a sound that is kept", () => {
  it("is read back within half a step of 24 bits, louder than full cut", async () => {
    const left = Float32Array.from([0, 0.5, -0.5, 1, -1, 1.5]);
    const right = Float32Array.from([0.25, -0.125, 1 / 3, 0, 0, -2]);
    const read = readWav(wavBytes([left, right], 48_000, 24));
    if (!("wav" in read)) throw new Error(read.problem);
    expect(read.wav.rate).toBe(48_000);
    for (const [index, meant] of [left, right].entries()) {
      const got = read.wav.channels[index] as Float32Array;
      expect(got.length).toBe(6);
      for (const [at, value] of meant.entries())
        expect(Math.abs((got[at] as number) - Math.max(-1, Math.min(1, value)))).toBeLessThan(2 ** -22);
    }
  });

  it("gets a name that is safe on every system and free", () => {
    expect(freeName("Añejo – take 3.flac", [])).toBe("Anejo  take 3.wav");
    expect(freeName("horn.mp3", ["Horn.wav", "horn 2.wav"])).toBe("horn 3.wav");
    expect(freeName("???.ogg", [])).toBe("sound.wav");
    expect(freeName("..01_hatch_090.0bpm_3-4.wav", [])).toBe("01_hatch_090.0bpm_3-4.wav");
  });
});

describe("peaks", () => {
  /** Frames over it, times it, come out a hair less for some numbers of frames. */
  const RATE = 44_100;
  /** Greatest and least of the frames from one to another, the latter not included, zero among them. */
  const extremes = (channel: Float32Array, from: number, to: number): [number, number] => {
    const part = [0, ...channel.subarray(Math.max(0, from), to)];
    return [Math.min(...part), Math.max(...part)];
  };
  const values = fc.array(fc.integer({ min: -64, max: 64 }), { minLength: 200, maxLength: 3000 });
  const parts = fc.tuple(fc.integer({ min: 0, max: 90 }), fc.integer({ min: 1, max: 9 }));

  it("are the least and greatest of each stretch, of no frame more from close, and of few more from afar", () => {
    holds(
      "peaks",
      100,
      fc.tuple(values, parts, fc.integer({ min: 1, max: 5 })),
      ([whole, [first, cut], count]) => {
        const channel = Float32Array.from(whole, (value) => value / 64);
        const last = whole.length - cut;
        const sound = { rate: RATE, seconds: channel.length / RATE, channels: [channel] };
        const { least, most } = peaksOf(sound, first / RATE, last / RATE, count);
        const edge = (index: number): number => first + Math.floor((index * (last - first)) / count);
        const close = (last - first) / count < 256;
        for (let index = 0; index < count; index++) {
          const [low, high] = extremes(channel, edge(index), edge(index + 1));
          if (close) expect([least[index], most[index]]).toEqual([low, high]);
          // From afar a stretch begins and ends with the prepared one that it cuts.
          const [lowest, highest] = extremes(channel, edge(index) - 256, edge(index + 1) + 257);
          expect(least[index]).toBeLessThanOrEqual(low);
          expect(least[index]).toBeGreaterThanOrEqual(lowest);
          expect(most[index]).toBeGreaterThanOrEqual(high);
          expect(most[index]).toBeLessThanOrEqual(highest);
        }
      },
    );
  });

  it("begin and end with the frames that are meant, however their seconds come out", () => {
    for (let frames = 1; frames <= 2000; frames++) {
      const channel = new Float32Array(frames);
      channel[frames - 1] = 0.5;
      const first = Math.floor(frames / 3);
      if (first > 0) channel[first - 1] = -0.5;
      const sound = { rate: RATE, seconds: frames / RATE, channels: [channel] };
      const { least, most } = peaksOf(sound, first / RATE, sound.seconds, Math.ceil(frames / 256));
      expect([frames, least[0], most.at(-1)]).toEqual([frames, 0, 0.5]);
    }
  });

  it("find a single click in the pixel where it is", () => {
    const channel = new Float32Array(1000);
    channel[437] = 0.75;
    const { most } = peaksOf({ rate: 1000, seconds: 1, channels: [channel] }, 0, 1, 100);
    expect([...most].flatMap((value, at) => (value > 0 ? [[at, value]] : []))).toEqual([[43, 0.75]]);
  });
});

describe("a recorded beat", () => {
  it("lasts whole bars where it holds one, else whole sixteenths", () => {
    expect(sixteenthsIn(2 * 4 * (60 / 92), 0, 92)).toBe(32);
    expect(sixteenthsIn(2 * 4 * (60 / 92) - 0.004, 0, 92)).toBe(32);
    expect(sixteenthsIn(0.1 + 3 * (60 / 120), 0.1, 120)).toBe(12);
    expect(sixteenthsIn(0.001, 0, 120)).toBe(1);
    // Two bars of three quarters, and one of seven eighths.
    expect(sixteenthsIn(2 * 3 * (60 / 90), 0, 90, 12)).toBe(24);
    expect(sixteenthsIn(3.5 * (60 / 92), 0, 92, 14)).toBe(14);
  });

  it("has its quarter notes from the first beat on", () => {
    expect(beatsIn(1.6, 0.1, 120)).toEqual([0.1, 0.6, 1.1, 1.6]);
  });

  it("takes its tempo from taps: the line that fits best, after the last pause", () => {
    expect(tappedTempo([0, 0.5, 1])).toBeNull();
    expect(tappedTempo([0, 0.5, 1, 1.5])).toBe(120);
    // Least squares by hand: times 0, 0.6, 1.1, 1.8 have the slope 0.59; 60 / 0.59 = 101.695.
    expect(tappedTempo([0, 0.6, 1.1, 1.8])).toBe(101.695);
    expect(tappedTempo([0, 0.1, 0.2, 0.3, 10, 10.5, 11, 11.5])).toBe(120);
  });
});
