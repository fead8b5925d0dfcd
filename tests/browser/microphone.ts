/** A robot before the browser's microphone: a file that Chromium plays into it, recorded on the Recordings screen. */
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { find } from "../../client/rehearse/sweep.ts";
import type { Recording } from "../../schemas/recording.ts";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { readWav } from "../../server/sound/wavread.ts";
import type { Expected, Meant } from "../../server/recordings/expected.ts";
import type { Played } from "../recordings/robot.ts";

const RATE = 48_000;
/** Seconds of the file before the robot begins: Chromium loses some of the first, and jumps by 10 ms in them. */
const SILENCE = 1;

export const microphoneFlags = (file: string): string[] => [
  "--use-fake-ui-for-media-stream",
  "--use-fake-device-for-media-stream",
  `--use-file-for-fake-audio-capture=${file}%noloop`,
];

/** What Chromium plays from when the microphone is opened. */
export function microphoneFile({ samples }: Played): Uint8Array {
  const all = new Float32Array(Math.round(SILENCE * RATE) + samples.length);
  all.set(samples, all.length - samples.length);
  return wavBytes([all], RATE, 16);
}

/**
 * Called in the page before its own code: the microphone that the page is given is silent until the screen counts in.
 * Then the browser's own is let in, held back until the screen says that it records, so that the robot begins with the
 * music, however busy the machine is.
 *
 * @param silence seconds of the file before the robot begins
 */
function holdMicrophone(silence: number): void {
  const devices = navigator.mediaDevices;
  const real = devices.getUserMedia.bind(devices);
  let before: Promise<MediaStream> | null = null;
  // A file is played once: as long as a stream is open, another goes on in the same.
  const begin = async (wish: MediaStreamConstraints): Promise<MediaStream> => {
    for (const track of (await before)?.getTracks() ?? []) track.stop();
    before = real(wish);
    return before;
  };
  const held = async (wish: MediaStreamConstraints): Promise<MediaStream> => {
    const context = new AudioContext({ sampleRate: 48_000, latencyHint: "interactive" });
    const out = new MediaStreamAudioDestinationNode(context, { channelCount: 1 });
    const delay = new DelayNode(context, { maxDelayTime: 10, delayTime: 10 });
    delay.connect(out);
    const status = (): string | null | undefined => document.querySelector(".far [role=status]")?.textContent;
    let opened: Promise<number> | null = null;
    const look = setInterval(() => {
      if (document.querySelector(".far .count") !== null)
        opened ??= begin(wish).then((stream) => {
          context.createMediaStreamSource(stream).connect(delay);
          return context.currentTime;
        });
      if (status() !== "Recording") return;
      clearInterval(look);
      void opened?.then((since) => {
        // It begins a little later than it could, so that nothing of it is lost.
        const late = Math.max(0, context.currentTime - since - silence + 0.06);
        delay.delayTime.value = Math.round(late * 48_000) / 48_000;
      });
    }, 5);
    return out.stream;
  };
  Object.defineProperty(devices, "getUserMedia", { configurable: true, value: held });
}

/** To be done with a page before its own code. */
export const holdingMicrophone = (page: Page): Promise<unknown> =>
  page.addInitScript(holdMicrophone, SILENCE);

export interface Take {
  readonly recording: Recording;
  /** Seconds that the robot's file stands after the music in what was recorded: known by its waveform alone. */
  readonly began: number;
  /** Where the browser's microphone stood still, seconds of the recording, and for how long: what followed came later. */
  readonly stood: readonly { readonly at: number; readonly lasts: number }[];
}

/** Seconds that the microphone may stand still in a take that is judged. */
const MAY_STAND = 0.025;

/** Seconds around a standstill in which sounds are cut in two. */
const SPOILT = 0.1;

/**
 * What the robot played as it came into a recording, with what the microphone stood still counted as the robot's errors.
 *
 * @param lag seconds that the robot was late as a whole
 * @returns with the lateness that all of it has in common, seconds; and what a standstill spoilt, for `judged`
 */
export function asTaken(
  { began, stood }: Take,
  { meant }: Expected,
  played: Played,
  lag: number,
): {
  readonly played: Played;
  readonly late: number;
  readonly spoilt: (time: number) => boolean;
} {
  const stoodBefore = (second: number): number =>
    stood.reduce((sum, { at, lasts }) => (at < began + second + sum ? sum + lasts : sum), 0);
  const errors = played.errors.map((error, index) => {
    const { time } = meant[index] as Meant;
    return error === null ? null : error + stoodBefore(time + lag + error);
  });
  const known = errors.flatMap((error) => (error === null ? [] : [error]));
  const even = known.reduce((sum, error) => sum + error, 0) / known.length;
  return {
    played: {
      ...played,
      errors: errors.map((error) => (error === null ? null : error - even)),
      added: played.added.map((time) => time + stoodBefore(time) - even),
    },
    late: began + lag + even,
    spoilt: (time) =>
      stood.some(({ at }) => Math.abs(at - (began + time + lag + stoodBefore(time + lag))) < SPOILT),
  };
}

/**
 * Records what is chosen on the Recordings screen, again where the browser's microphone stood still for long, as it does
 * on a busy machine.
 */
export async function take(page: Page, folder: string, played: Played, tries = 3): Promise<Take> {
  const taken = await takeOnce(page, folder, played);
  const long = taken.stood.reduce((sum, { lasts }) => sum + lasts, 0) > MAY_STAND;
  return long && tries > 1 ? take(page, folder, played, tries - 1) : taken;
}

/** With the input shut before and after. */
async function takeOnce(page: Page, folder: string, played: Played): Promise<Take> {
  const record = page.locator(".recordings button.record");
  const before = (await notes(folder)).length;
  await page.getByRole("button", { name: "Open the input" }).click();
  await page.getByLabel("Level of the input").waitFor();
  await record.click();
  await page.locator(".far .recording-now").waitFor();
  await page.locator(".far-outcome", { hasText: "R records again" }).waitFor({ timeout: 300_000 });
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Close the input" }).click();
  const recording = await until(async () => {
    const newest = (await notes(folder))[before];
    if (newest === undefined) return undefined;
    const note = JSON.parse(await readFile(`${newest}.json`, "utf8")) as Recording;
    return note.result === null ? undefined : note;
  });
  // Shown on the screen, too.
  await page.locator(`.result .figures[data-lag="${recording.result?.lagMs}"]`).waitFor();
  const read = readWav(await readFile(`${(await notes(folder))[before]}.wav`));
  if ("problem" in read) throw new Error(read.problem);
  const samples = read.wav.channels[0] ?? new Float32Array(0);
  const stood = standstills(samples);
  return { recording, stood, began: standsAt(samples, played.samples, stood) };
}

/** Zeros in the midst of noise, in whole hundredths of a second: as much as Chromium's microphone gives at a time. */
function standstills(samples: Float32Array): Take["stood"] {
  const stood: { at: number; lasts: number }[] = [];
  let zeros = 0;
  let begun = false;
  for (const [at, value] of samples.entries()) {
    if (value === 0) zeros++;
    else {
      const lasts = Math.round((zeros / RATE) * 100) / 100;
      if (begun && lasts > 0) stood.push({ at: at / RATE, lasts });
      zeros = 0;
      begun = true;
    }
  }
  return stood;
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

/** Samples that are taken as one: a quarter of a millisecond. */
const COARSE = 12;
/** Seconds of the file at which pieces of it are looked for, and how long they are. */
const PIECES = [1, 4, 7];
const PIECE = 1.2;

/** Seconds after the recording's start at which the file begins, by its own waveform; NaN: it is not there. */
function standsAt(recorded: Float32Array, file: Float32Array, stood: Take["stood"]): number {
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
    const at = (lag * COARSE) / RATE;
    return { at: at - second, end: at + PIECE / 2, strength };
  });
  const best = found.reduce((a, b) => (b.strength > a.strength ? b : a));
  if (best.strength < 0.3) return Number.NaN;
  return stood.reduce((began, { at, lasts }) => (at < best.end ? began - lasts : began), best.at);
}
