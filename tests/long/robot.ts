/**
 * node tests/run.mjs tests/long/robot.ts [SEEDS] [FIRST]
 * A robot plays the whole demo with known errors, in both of its ways, over noise, hum, beat and a room: how near the
 * shown errors come, and the published measure of what was heard against what was played.
 */
import { compareRecording } from "../../server/recordings/compareRecording.ts";
import { demoExpected } from "../recordings/demo.ts";
import { judged } from "../recordings/judged.ts";
import { PLAIN, play, type RobotSettings } from "../recordings/robot.ts";

const LAG = 0.037;
const CASES: readonly (readonly [string, Partial<RobotSettings>])[] = [
  ["clean", {}],
  ["20 dB, beat", { snr: 20, beat: 0.5, hum: 25 }],
  ["10 dB, beat", { snr: 10, beat: 0.5, hum: 25 }],
  ["20 dB, beat, room", { snr: 20, beat: 0.5, hum: 25, room: 12 }],
];

export async function main([seeds = "1", first = "101"]: string[]): Promise<number> {
  const expected = demoExpected();
  let failed = false;
  for (const [name, settings] of CASES)
    for (const way of ["hand", "slices"] as const)
      for (let seed = Number(first); seed < Number(first) + Number(seeds); seed++) {
        const robot = { ...PLAIN, lag: LAG, leftOut: 0.05, added: 0.05, ...settings, way, seed };
        const played = play(expected, robot);
        const { sounds, extra, lagMs, spreadMs } = compareRecording(expected, played.samples);
        const errors = sounds.map(({ errorMs }) => errorMs);
        const { within, f } = judged(expected.meant, played, LAG, errors, extra);
        const least = settings.snr === 10 ? 0.85 : 0.95;
        failed ||= within < 0.95 || f < least || Math.abs((lagMs ?? 0) - 1000 * LAG) > 2;
        console.log(
          `${name}, ${way}, seed ${seed}: ${(100 * within).toFixed(1)} in 100 within 3 ms, F ${f.toFixed(3)}, lag ${lagMs?.toFixed(1)} ms, spread ${spreadMs?.toFixed(1)} ms`,
        );
      }
  return failed ? 1 : 0;
}
