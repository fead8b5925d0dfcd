/** Loudness and true peak against published signals; the interpolator by the response that its paper's method must give. */
import { describe, expect, it } from "vitest";
import { kernelResponse, weightAt } from "../../server/sound/kernel.ts";
import { createLimiter } from "../../schemas/limiter.ts";
import { createMeter } from "../../server/sound/loudness.ts";

const RATE = 48_000;

/** Feeds a stereo signal in odd blocks, as a stream would come. */
function measured(left: Float32Array, right: Float32Array) {
  const meter = createMeter();
  for (let at = 0; at < left.length; at += 777) {
    meter.add(left.subarray(at, at + 777), right.subarray(at, at + 777), Math.min(777, left.length - at));
  }
  return meter;
}

const amplitude = (decibels: number): number => 10 ** (decibels / 20);

/** 1 kHz in both channels, peak dBFS and seconds by segment. */
function segments(list: readonly (readonly [number, number])[]): Float32Array {
  const sound: number[] = [];
  for (const [level, seconds] of list) {
    for (let i = 0; i < seconds * RATE; i++) {
      sound.push(amplitude(level) * Math.sin((2 * Math.PI * 1000 * sound.length) / RATE));
    }
  }
  return Float32Array.from(sound);
}

describe("ITU-R BS.1770-4", () => {
  // Annex 1: "If a 0 dB FS, 997 Hz sine wave is applied to the left, centre, or right channel input, the indicated
  // loudness will equal −3.01 LKFS."
  it("reads −3.01 LKFS for a full sine of 997 Hz in one channel, and 0 in both", () => {
    const sine = Float32Array.from({ length: 5 * RATE }, (_, i) => Math.sin((2 * Math.PI * 997 * i) / RATE));
    expect(measured(sine, new Float32Array(sine.length)).integrated()).toBeCloseTo(-3.01, 2);
    expect(measured(sine, sine).integrated()).toBeCloseTo(0, 1);
  });

  it("has no loudness for silence", () => {
    const silence = new Float32Array(RATE);
    expect(measured(silence, silence).integrated()).toBe(Number.NEGATIVE_INFINITY);
    expect(measured(silence, silence).truePeak()).toBe(Number.NEGATIVE_INFINITY);
  });
});

describe("EBU Tech 3341 (2023), Table 1, synthesised", () => {
  // Integrated loudness, tolerance ±0.1 LU.
  const CASES: readonly [number, readonly (readonly [number, number])[], number][] = [
    [1, [[-23, 20]], -23],
    [2, [[-33, 20]], -33],
    [
      3,
      [
        [-36, 10],
        [-23, 60],
        [-36, 10],
      ],
      -23,
    ],
    [
      4,
      [
        [-72, 10],
        [-36, 10],
        [-23, 60],
        [-36, 10],
        [-72, 10],
      ],
      -23,
    ],
    [
      5,
      [
        [-26, 20],
        [-20, 20.1],
        [-26, 20],
      ],
      -23,
    ],
  ];
  for (const [number, list, wanted] of CASES) {
    it(`case ${number}: integrated loudness ${wanted} LUFS`, () => {
      const sound = segments(list);
      expect(Math.abs(measured(sound, sound).integrated() - wanted)).toBeLessThanOrEqual(0.1);
    });
  }

  // True peak, tolerance +0.2/−0.4 dB. Faded in and out, since an abrupt edge overshoots in an interpolator.
  const PEAKS: readonly [number, number, number, number, number][] = [
    [15, 1 / 4, 0.5, 0, -6],
    [16, 1 / 4, 0.5, 45, -6],
    [17, 1 / 6, 0.5, 60, -6],
    [18, 1 / 8, 0.5, 67.5, -6],
    [19, 1 / 4, 1.41, 45, 3],
  ];
  const faded = (frequency: number, level: number, degrees: number): Float32Array =>
    Float32Array.from({ length: RATE }, (_, i) => {
      const fade = Math.min(1, i / 4800, (RATE - 1 - i) / 4800);
      return fade * level * Math.sin(2 * Math.PI * frequency * i + (degrees * Math.PI) / 180);
    });
  for (const [number, frequency, level, degrees, wanted] of PEAKS) {
    it(`case ${number}: true peak ${wanted} dBTP`, () => {
      const sound = faded(frequency, level, degrees);
      const peak = measured(sound, new Float32Array(RATE)).truePeak();
      expect(peak - wanted).toBeLessThanOrEqual(0.2);
      expect(peak - wanted).toBeGreaterThanOrEqual(-0.4);
    });
  }

  it("loud sines, case 19 among them, stay below −1 dBTP (our bound) through the limiter; a quiet one goes through unchanged but late", () => {
    for (const [frequency, level, degrees] of [
      [1 / 4, 1.41, 45],
      [1 / 6, 4, 60],
      [0.011, 8, 0],
    ] as const) {
      const sound = faded(frequency, level, degrees);
      const [left, right] = [sound.slice(), sound.slice()];
      createLimiter().process(left, right, RATE);
      expect(measured(left, right).truePeak()).toBeLessThan(-1);
      expect(measured(left, right).truePeak()).toBeGreaterThan(-1.6);
    }
    const quiet = faded(0.011, 0.5, 0);
    const [left, right] = [quiet.slice(), quiet.slice()];
    const limiter = createLimiter();
    limiter.process(left, right, RATE);
    expect(left.subarray(limiter.delay)).toEqual(quiet.subarray(0, RATE - limiter.delay));
  });
});

describe("Niemitalo (2001), optimal 6-point 5th-order for 4 times oversampled", () => {
  it("lets nothing of a band to 1/8 through around whole multiples of the table rate: under −150 dB", () => {
    // Simpson's rule on 400 parts of each step, fine enough for four cycles in it; a wrong digit shows at −120.
    const response = (frequency: number): number => {
      let sum = 0;
      for (let i = 0; i <= 1200; i++) {
        const weight = i === 0 || i === 1200 ? 1 : i % 2 === 1 ? 4 : 2;
        const at = Math.min(i / 400, 3 - 1e-12);
        // At a tap itself the two sides differ in the seventh place: take their mean.
        const value =
          i % 400 === 0 && i > 0 && i < 1200 ? (weightAt(at) + weightAt(at - 1e-12)) / 2 : weightAt(at);
        sum += (weight / 600) * value * Math.cos(2 * Math.PI * frequency * at);
      }
      return sum;
    };
    const worst = Math.max(
      ...[1, 2, 3, 4].flatMap((multiple) =>
        Array.from({ length: 21 }, (_, i) => Math.abs(response(multiple + (i - 10) / 80))),
      ),
    );
    expect(20 * Math.log10(worst)).toBeLessThan(-150);
    expect(20 * Math.log10(Math.abs(response(0.125)))).toBeCloseTo(-1.62, 2);
  });

  it("droops by 1.62 dB at 1/8 of the table rate and passes 0 Hz whole", () => {
    expect(20 * Math.log10(kernelResponse(0.125))).toBeCloseTo(-1.62, 2);
    expect(kernelResponse(0)).toBeCloseTo(1, 8);
  });

  it("gives the same at a tap from either side", () => {
    for (const distance of [1, 2]) expect(weightAt(distance - 1e-9)).toBeCloseTo(weightAt(distance), 4);
  });
});
