/** A robot plays a section steadily but late, over noise, hum and the beat: it is heard as late, and as steady. */
import { expect, test } from "vitest";
import { compareRecording } from "../../server/recordings/compareRecording.ts";
import { demoExpected } from "./demo.ts";
import { PLAIN, play } from "./robot.ts";

const LAG = 0.037;

// With errors it plays in tests/browser/recordings.test.ts; at length, and with other seeds, npm run robot does.
test("a steady player who is late is late, and steady", () => {
  const expected = demoExpected("channel");
  const robot = { ...PLAIN, seed: 12, lag: LAG, moved: 0, snr: 10, beat: 0.5, beatLag: 0.01, hum: 25 };
  const result = compareRecording(expected, play(expected, robot).samples);
  console.log(
    `10 dB, steady: F ${result.f.toFixed(3)}, lag ${result.lagMs?.toFixed(1)} ms, spread ${result.spreadMs?.toFixed(1)} ms`,
  );
  expect(result.f).toBeGreaterThanOrEqual(0.85);
  expect(Math.abs((result.lagMs ?? 0) - 1000 * LAG)).toBeLessThan(2);
  expect(result.spreadMs).toBeLessThan(4);
});
