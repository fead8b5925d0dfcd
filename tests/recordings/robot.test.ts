/** A robot plays a section with errors that are known, over noise, hum and the beat: they are heard as they were. */
import { expect, test } from "vitest";
import { compareRecording } from "../../server/recordings/compareRecording.ts";
import { demoExpected } from "./demo.ts";
import { judged } from "./judged.ts";
import { PLAIN, play, type RobotSettings } from "./robot.ts";

const LAG = 0.037;
const MESSY = { leftOut: 0.05, added: 0.05, beat: 0.5, beatLag: 0.01, hum: 25, lag: LAG };

function listened(section: string, settings: Partial<RobotSettings>) {
  const expected = demoExpected(section);
  const played = play(expected, { ...PLAIN, ...MESSY, ...settings });
  const result = compareRecording(expected, played.samples);
  const errors = result.sounds.map(({ errorMs }) => errorMs);
  return { result, ...judged(expected.meant, played, LAG, errors, result.extra) };
}

// Seeds that nothing was tuned on; the long version (npm run robot) plays the whole demo with more of them.
test("at 20 dB over noise, beat and hum, errors are heard within 3 ms and the lag is no unsteadiness", () => {
  const { result, f, within } = listened("channel", { snr: 20, seed: 11 });
  console.log(
    `20 dB: F ${f.toFixed(3)}, within 3 ms ${(100 * within).toFixed(1)} %, lag ${result.lagMs?.toFixed(1)} ms`,
  );
  expect(f).toBeGreaterThanOrEqual(0.95);
  expect(within).toBeGreaterThanOrEqual(0.95);
  expect(Math.abs((result.lagMs ?? 0) - 1000 * LAG)).toBeLessThan(2);
  expect(Math.abs((result.beatLagMs ?? 0) - 10)).toBeLessThan(0.1);
  // Evenly spread over ±20 ms: 11.5 ms.
  expect(result.spreadMs).toBeGreaterThan(9);
  expect(result.spreadMs).toBeLessThan(14);
});

test("a steady player who is late is late, and steady", () => {
  const { result } = listened("channel", { snr: 10, seed: 12, moved: 0, leftOut: 0, added: 0 });
  console.log(
    `10 dB, steady: F ${result.f.toFixed(3)}, lag ${result.lagMs?.toFixed(1)} ms, spread ${result.spreadMs?.toFixed(1)} ms`,
  );
  expect(result.f).toBeGreaterThanOrEqual(0.85);
  expect(Math.abs((result.lagMs ?? 0) - 1000 * LAG)).toBeLessThan(2);
  expect(result.spreadMs).toBeLessThan(4);
});
