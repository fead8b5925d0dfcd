/** Speeds of the platter, and pitch against speed. */
import { platterSpeed } from "../../schemas/rig.ts";
import { describe, expect, it } from "vitest";
import type { Rig } from "../../schemas/routine.ts";
import { semitones } from "../../client/parts/music.ts";

describe("the platter", () => {
  // IEC 60098:2020, Table 1 (nominal speeds from memory): 33 1/3, 45 and 78 r/min. 33 1/3 is exact: 33.33 would
  // give a turn of 1.80018 s.
  it.each([
    [33, 200, 1.8],
    [45, 270, 1.3333333333333333],
    [78, 468, 0.7692307692],
  ] as const)("at %s turns %s degrees a second, once in %s s", (platter, degrees, period) => {
    const speed = platterSpeed({ platter } satisfies Rig);
    expect(speed).toBe(degrees);
    expect(360 / speed).toBeCloseTo(period, 10);
  });

  it("turns 33 1/3 times a minute unless said, and follows the pitch slider", () => {
    expect(platterSpeed(undefined)).toBe(200);
    expect(platterSpeed({ platter: 45 }, 8)).toBeCloseTo(291.6, 10);
  });
});

describe("pitch against speed", () => {
  // Definition: 12·log2 |speed|. +8 % and −8 % are not symmetric.
  it.each([
    [1.35, 5.1955],
    [1.08, 1.3324],
    [0.92, -1.4435],
    [1.16, 2.5695],
    [0.84, -3.0185],
    [1.5, 7.0196],
    [2, 12],
    [0.5, -12],
    [0.25, -24],
  ])("speed %s is %s semitones, forward and back", (speed, pitch) => {
    expect(semitones(speed)).toBeCloseTo(pitch, 4);
    expect(semitones(-speed)).toBe(semitones(speed));
  });
});
