/**
 * node tests/run.mjs tests/long/robot.ts [SEEDS] [FIRST]
 * A robot plays the whole demo with known errors, in both of its ways, over noise, hum, beat and a room: how near the
 * shown errors come, and the published measure of what was heard against what was played.
 */
import { compareRecording } from "../../server/recordings/compareRecording.ts";
import { compareTimes } from "../../server/recordings/compareTimes.ts";
import { demoExpected } from "../recordings/demo.ts";
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
        const truth = expected.meant.flatMap(({ time }, index) => {
          const error = played.errors[index];
          return error == null ? [] : [time + error];
        });
        const heard = sounds.flatMap(({ time, errorMs }) =>
          errorMs === null ? [] : [time + errorMs / 1000],
        );
        const { f } = compareTimes(
          [...truth, ...played.added.map((time) => time - LAG)].sort((a, b) => a - b),
          [...heard, ...extra].sort((a, b) => a - b),
        );
        const right = sounds.filter(({ errorMs }, index) => {
          const error = played.errors[index];
          return error != null && errorMs !== null && Math.abs(errorMs - 1000 * error) < 3;
        }).length;
        const least = settings.snr === 10 ? 0.85 : 0.95;
        failed ||= f < least || Math.abs((lagMs ?? 0) - 1000 * LAG) > 2;
        console.log(
          `${name}, ${way}, seed ${seed}: ${right} of ${truth.length} (${((100 * right) / truth.length).toFixed(1)} %) within 3 ms, F ${f.toFixed(3)}, lag ${lagMs?.toFixed(1)} ms, spread ${spreadMs?.toFixed(1)} ms`,
        );
      }
  return failed ? 1 : 0;
}
