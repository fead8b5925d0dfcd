/** A robot before the browser's microphone: a file that Chromium plays into it, recorded on the Recordings screen. */
import { readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { find } from "../../client/rehearse/sweep.ts";
import type { Recording } from "../../schemas/recording.ts";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { readWav } from "../../server/sound/wavread.ts";
import type { Played } from "../recordings/robot.ts";

const RATE = 48_000;
/** Seconds of the file before the robot begins, at first: a bar of count-in, and some time to begin. */
const SILENCE = 3.5;
/** Seconds that the robot may begin before or after the music: less than what a comparison looks for. */
const REACH = 1.7;

export const microphoneFlags = (file: string): string[] => [
  "--use-fake-ui-for-media-stream",
  "--use-fake-device-for-media-stream",
  `--use-file-for-fake-audio-capture=${file}%noloop`,
];

/** What Chromium plays each time that the input is opened, from then on. */
async function layOut(file: string, { samples }: Played, silence: number): Promise<void> {
  const all = new Float32Array(Math.round(silence * RATE) + samples.length);
  all.set(samples, all.length - samples.length);
  await writeFile(file, wavBytes([all], RATE, 16));
}

export interface Take {
  readonly recording: Recording;
  /** Seconds that the robot's file stands after the music in what was recorded: known by its waveform alone. */
  readonly began: number;
}

/**
 * Records what is chosen on the Recordings screen, with the input shut before and after. The file runs from when the
 * input opens, and a busy machine takes longer to begin: then it is tried again with as much more silence.
 */
export async function take(page: Page, folder: string, file: string, played: Played): Promise<Take> {
  const record = page.locator(".recordings button.record");
  for (let silence = SILENCE, tries = 1; ; tries++) {
    await layOut(file, played, silence);
    const before = (await notes(folder)).length;
    // What was recorded before is compared first.
    await page.locator(".recordings > [role=status]").waitFor({ state: "detached", timeout: 120_000 });
    await page.evaluate(openAndRecord);
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
    silence -= Number.isFinite(began) ? began : -8;
  }
}

/** In the page, so that nothing comes between: opens the input, and begins to record as soon as it is open. */
const openAndRecord = (): Promise<void> =>
  new Promise((resolve) => {
    const button = document.querySelector<HTMLButtonElement>(".recordings button.record");
    [...document.querySelectorAll("button")]
      .find(({ textContent }) => textContent === "Open the input")
      ?.click();
    const look = setInterval(() => {
      if (button === null || button.disabled) return;
      clearInterval(look);
      button.click();
      resolve();
    }, 5);
  });

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

/** Samples that are taken as one: a quarter of a millisecond. */
const COARSE = 12;
/** Seconds of the file at which pieces of it are looked for, and how long they are. */
const PIECES = [1, 4, 7];
const PIECE = 1.2;

/** Seconds after the recording's start at which the file begins, by its own waveform; −∞: it is long over. */
function standsAt(recorded: Float32Array, file: Float32Array): number {
  const thin = (samples: Float32Array): Float32Array =>
    Float32Array.from({ length: Math.floor(samples.length / COARSE) }, (_, at) => {
      let sum = 0;
      for (let by = 0; by < COARSE; by++) sum += samples[at * COARSE + by] ?? 0;
      return sum;
    });
  const all = thin(recorded.subarray(0, 12 * RATE));
  const found = PIECES.map((second) => {
    const from = second * RATE;
    const { lag, strength } = find(thin(file.subarray(from, from + PIECE * RATE)), all);
    return { at: (lag * COARSE) / RATE - second, strength };
  });
  const best = found.reduce((a, b) => (b.strength > a.strength ? b : a));
  return best.strength < 0.3 ? Number.NEGATIVE_INFINITY : best.at;
}
