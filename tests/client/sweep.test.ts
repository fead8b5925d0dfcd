import { describe, expect, test } from "vitest";
import { find, sweep } from "../../client/rehearse/sweep.ts";
import { cut } from "../../client/rehearse/loopback.ts";
import { seeded } from "../../server/sound/random.ts";

/** The sweep so many frames late (the part of a frame by a windowed sinc), in noise of so many decibels below it. */
function late(frames: number, decibels: number, seed: number): Float32Array {
  const played = sweep();
  const random = seeded(seed);
  const power = played.reduce((sum, sample) => sum + sample * sample, 0) / played.length;
  const noise = Math.sqrt(3 * power * 10 ** (-decibels / 10));
  const whole = Math.floor(frames);
  const part = frames - whole;
  const taps = Array.from({ length: 64 }, (_, tap) => {
    const x = tap - 31 - part;
    const sinc = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
    return sinc * (0.5 + 0.5 * Math.cos((Math.PI * x) / 33));
  });
  return Float32Array.from({ length: 24_000 }, (_, frame) => {
    let sum = noise * (2 * random() - 1);
    for (let tap = 0; tap < 64; tap++) sum += taps[tap]! * (played[frame - whole - (tap - 31)] ?? 0);
    return sum;
  });
}

describe("a sweep that comes back", () => {
  test("is found within a fiftieth of a frame, and within half a frame in noise that is ten decibels louder", () => {
    // Over forty other noises the error was 0.005 and 0.17 frames (root mean square), at most 0.013 and 0.39.
    for (const [frames, decibels, off] of [
      [5.4, 40, 0.02],
      [1_234.25, 20, 0.02],
      [1_776.5, -10, 0.5],
      [9_000.7, -10, 0.5],
    ] as const) {
      const { lag, strength } = find(sweep(), late(frames, decibels, 7));
      expect(Math.abs(lag - frames)).toBeLessThan(off);
      expect(strength).toBeGreaterThan(0.25);
    }
  });

  test("is not found where there is none", () => {
    const noise = late(0, -60, 3);
    expect(find(sweep(), noise).strength).toBeLessThan(0.25);
  });
});

test("pieces are put together by their frames, with silence where none came", () => {
  const piece = (frame: number, ...samples: number[]) => ({ frame, samples: Float32Array.from(samples) });
  expect([...cut([piece(10, 1, 2, 3), piece(15, 4, 5)], 11, 6)]).toEqual([2, 3, 0, 0, 4, 5]);
});
