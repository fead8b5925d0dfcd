/** A recording that ends before what is meant does, or goes on after it: neither is held against the player. */
import { expect, test } from "vitest";
import { compareRecording } from "../../server/recordings/compareRecording.ts";
import { demoExpected } from "./demo.ts";
import { judged } from "./judged.ts";
import { PLAIN, type Played, play } from "./robot.ts";

const RATE = 48_000;
const expected = demoExpected("moorings");
const whole = expected.hands.length / RATE;
const ROBOT = { ...PLAIN, seed: 811, snr: 20, beat: 0.5, hum: 25 };

/** The robot's recording as it is with so many seconds of silence before it, and cut off after so many. */
function heard(played: Played, before: number, seconds: number) {
  const samples = new Float32Array(Math.round(seconds * RATE));
  const from = Math.round(before * RATE);
  samples.set(played.samples.subarray(0, samples.length - from), from);
  return compareRecording(expected, samples);
}

for (const [name, lag, before] of [
  ["begun with the music", 0.037, 0],
  ["begun half a second too early", 0, 0.5],
] as const)
  test(`one that is ${name} is judged up to where it ends, as well as a whole one`, () => {
    const played = play(expected, { ...ROBOT, lag });
    const late = lag + before;
    const end = 0.55 * whole;
    const result = heard(played, before, end + late);
    expect(result.upTo).not.toBeNull();
    expect(result.upTo!).toBeLessThanOrEqual(end + 0.002);
    const times = expected.meant.map(({ time }) => time);
    // What began within a window of the end, or has hardly begun there, may be left out.
    expect(result.upTo!).toBeGreaterThan(Math.max(...times.filter((time) => time < end - 0.06)));
    expect(result.sounds.map(({ time }) => time)).toEqual(times.filter((time) => time < result.upTo!));
    expect(result.sounds.length).toBeGreaterThan(30);
    const errors = result.sounds.map(({ errorMs }) => errorMs);
    // Of a part of them the mean is not zero: it is taken for lag.
    const own = played.errors.slice(0, errors.length).filter((error) => error !== null);
    const mean = own.reduce((sum, error) => sum + error, 0) / own.length;
    const known = { ...played, errors: own.map((error) => error - mean) };
    const { within, f } = judged(expected.meant, known, lag, errors, result.extra);
    console.log(`${name}: up to ${result.upTo?.toFixed(3)} of ${end.toFixed(3)} s, F ${f.toFixed(3)}`);
    expect(result.recall).toBeGreaterThan(0.97);
    expect(within).toBeGreaterThanOrEqual(0.95);
    expect(f).toBeGreaterThanOrEqual(0.95);
    expect(Math.abs(result.lagMs! - 1000 * (late + mean))).toBeLessThan(2);
  });

test("one that holds the last sound is whole, and what goes on after the end is not extra", () => {
  const played = play(expected, ROBOT);
  const last = expected.meant.at(-1)!;
  expect(heard(played, 0, last.time + last.lasts + 0.06).upTo).toBeNull();
  // Played twice in a row.
  const twice = new Float32Array(2 * expected.hands.length);
  for (const [index] of [0, 1].entries())
    twice.set(played.samples.subarray(0, expected.hands.length), index * expected.hands.length);
  const result = compareRecording(expected, twice);
  expect(result.upTo).toBeNull();
  expect(result.sounds).toHaveLength(expected.meant.length);
  expect(result.extra.filter((time) => time > whole)).toEqual([]);
  expect(result.f).toBeGreaterThan(0.95);
});

test("of one that ends before the first sound nothing is judged", () => {
  const silence = compareRecording(expected, new Float32Array(Math.round(0.02 * RATE)));
  expect(silence.sounds).toEqual([]);
  expect(silence).toMatchObject({ matched: 0, lagMs: null, spreadMs: null });
});
