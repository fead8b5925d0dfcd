/** A robot before the browser's microphone: a file that Chromium plays into it, recorded on the Recordings screen. */
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { find } from "../../client/rehearse/sweep.ts";
import type { Recording } from "../../schemas/recording.ts";
import { readWav } from "../../server/sound/wavread.ts";
import type { Played } from "../recordings/robot.ts";

const RATE = 48_000;
/** Seconds of the file before the robot begins: a bar of count-in, and time for a busy machine to begin. */
const SILENCE = 4.2;
/** Seconds that the robot may begin before or after the music: less than what a comparison looks for. */
const REACH = 1.7;

export const microphoneFlags = (file: string): string[] => [
  "--use-fake-ui-for-media-stream",
  "--use-fake-device-for-media-stream",
  `--use-file-for-fake-audio-capture=${file}%noloop`,
];

/** What Chromium plays, from the moment at which the input is opened. */
export function microphoneFile({ samples }: Played): Float32Array {
  const file = new Float32Array(Math.round(SILENCE * RATE) + samples.length);
  file.set(samples, file.length - samples.length);
  return file;
}

export interface Take {
  readonly recording: Recording;
  /** Seconds that the robot's file stands after the music in what was recorded: known by its waveform alone. */
  readonly began: number;
}

/**
 * Records what is chosen on the Recordings screen, with the input shut before and after. The file runs from when the
 * input opens, and a busy machine takes longer to begin, so it is tried again until the robot begins with the music.
 */
export async function take(page: Page, folder: string, played: Played): Promise<Take> {
  const record = page.locator(".recordings button.record");
  for (let wait = 0, tries = 1; ; tries++) {
    await page.getByRole("button", { name: "Open the input" }).click();
    await page.getByLabel("Level of the input").waitFor();
    await page.waitForTimeout(1000 * wait);
    const before = (await notes(folder)).length;
    await record.click();
    await record.filter({ hasText: "Stop" }).waitFor();
    await record.filter({ hasText: "Record" }).waitFor({ timeout: 300_000 });
    await page.getByRole("button", { name: "Shut the input" }).click();
    const newest = await until(async () => (await notes(folder))[before]);
    const read = readWav(await readFile(`${newest}.wav`));
    if ("problem" in read) throw new Error(read.problem);
    const began = standsAt(read.wav.channels[0] ?? new Float32Array(0), played.samples);
    if (Math.abs(began) < REACH) {
      const recording = await until(async () => {
        const note = JSON.parse(await readFile(`${newest}.json`, "utf8")) as Recording;
        return note.result === null ? undefined : note;
      });
      // Shown on the screen, too.
      await page.locator(`.result .figures[data-lag="${recording.result?.lagMs}"]`).waitFor();
      return { recording, began };
    }
    if (tries === 4) throw new Error(`The robot begins ${began.toFixed(2)} s after the music.`);
    wait = Math.max(0, wait + began);
  }
}

/** What there is once there is something, for two minutes at most. */
async function until<Value>(ask: () => Promise<Value | undefined>): Promise<Value> {
  const end = performance.now() + 120_000;
  for (;;) {
    const found = await ask();
    if (found !== undefined) return found;
    if (performance.now() > end) throw new Error("It did not come about within two minutes.");
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** Paths of the recordings without their endings, oldest first. */
async function notes(folder: string): Promise<string[]> {
  const at = join(folder, "Night Ferry.recordings");
  const names = await readdir(at).catch(() => []);
  return names
    .filter((name) => name.endsWith(".json"))
    .sort()
    .map((name) => join(at, name.slice(0, -".json".length)));
}

/** Samples that are taken as one: an eighth of a millisecond. */
const COARSE = 6;

/** Seconds after the recording's start at which the file begins, by its own waveform; −∞: not there, it is long over. */
function standsAt(recorded: Float32Array, file: Float32Array): number {
  const thin = (samples: Float32Array): Float32Array =>
    Float32Array.from({ length: Math.floor(samples.length / COARSE) }, (_, at) => {
      let sum = 0;
      for (let by = 0; by < COARSE; by++) sum += samples[at * COARSE + by] ?? 0;
      return sum;
    });
  const from = Math.round(3 * RATE);
  const piece = thin(file.subarray(from, from + 1.5 * RATE));
  const { lag, strength } = find(piece, thin(recorded.subarray(0, 8 * RATE)));
  return strength < 0.3 ? Number.NEGATIVE_INFINITY : (lag * COARSE - from) / RATE;
}
