/** A robot plays a section with errors that are known: the screen shows them as they were. */
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import type { PracticeEntry } from "../../schemas/practice.ts";
import type { Recording, RecordingResult } from "../../schemas/recording.ts";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { demoExpected, demoSeconds } from "../recordings/demo.ts";
import { judged } from "../recordings/judged.ts";
import { PLAIN, type Played, play } from "../recordings/robot.ts";
import { asTaken, holdingMicrophone, microphoneFile, microphoneFlags, take } from "./microphone.ts";
import { openProgram } from "./opened.ts";

const RATE = 48_000;
/** Of the section that is played, quarters a minute. */
const TEMPO = 97;
/** A sound that was begun in the page: seconds into it, and how fast. */
interface Started {
  readonly offset: number;
  readonly rate: number;
}
const LAG = 0.037;

const expected = demoExpected("moorings");
const ROBOT = { ...PLAIN, seed: 801, lag: LAG, beat: 0.5, hum: 25, leftOut: 0.05, added: 0.05 };
const played = play(expected, { ...ROBOT, snr: 20 });
const home = await mkdtemp(join(tmpdir(), "countercut-robot-"));
const noisier = play(expected, { ...ROBOT, snr: 10, beatLag: 0.01 });
await writeFile(join(home, "brought.wav"), wavBytes([noisier.samples], RATE, 16));
const microphone = join(home, "microphone.wav");
await writeFile(microphone, microphoneFile(played));
afterAll(() => rm(home, { recursive: true, force: true }));

const { page, served, faults, clean, fits, look } = await openProgram({
  flags: microphoneFlags(microphone),
  before: async (page) => {
    await page.addInitScript(() => localStorage.setItem("countercut.caution-seen", "true"));
    await holdingMicrophone(page);
    await page.addInitScript(() => {
      const started: Started[] = [];
      Object.assign(window, { started });
      const { start } = AudioBufferSourceNode.prototype;
      AudioBufferSourceNode.prototype.start = function (when, offset = 0) {
        started.push({ offset, rate: this.playbackRate.value });
        start.call(this, when, offset);
      };
    });
  },
});
await page.getByRole("link", { name: "Recordings", exact: true }).click();
await page.locator(".recordings select").first().selectOption("section moorings");
const record = page.locator(".recordings button.record");

/** The errors that the bar rows show, in the order of the sounds, milliseconds; null: missed. */
async function shownErrors(): Promise<(number | null)[]> {
  const titles = await page.locator("svg.marks path:not(.extra) title").allTextContents();
  return titles.map((title) => {
    const [, size, way] = /^([\d.]+) ms (early|late)$/.exec(title) ?? [];
    if (size === undefined) return title === "on time" ? 0 : null;
    return way === "early" ? -Number(size) : Number(size);
  });
}

/** Those that are kept in the folder. */
async function theRecordings(wanted: (one: Recording) => boolean = () => true): Promise<Recording[]> {
  const folder = join(served.folder, "Night Ferry.recordings");
  const notes = (await readdir(folder)).filter((name) => name.endsWith(".json"));
  const all = await Promise.all(
    notes.map(async (name) => JSON.parse(await readFile(join(folder, name), "utf8")) as Recording),
  );
  return all.filter(wanted);
}

/** What the screen says of the recording that is open, against what the robot is known to have played. */
async function shown({ extra }: RecordingResult, known: Played, spoilt?: (time: number) => boolean) {
  const figures = page.locator(".result .figures");
  const lag = Number(await figures.getAttribute("data-lag"));
  const errors = await shownErrors();
  const where = extra.map((one) => demoSeconds("moorings", one));
  return { lag, ...judged(expected.meant, known, LAG, errors, where, spoilt) };
}

it("says what is to be done before anything is there, and when it was stopped too soon", async () => {
  await page.getByText("There is no recording of this routine yet").waitFor();
  await page.getByText("Nothing is listened to before you open the input").waitFor();
  expect(await record.isDisabled()).toBe(true);
  await page.getByRole("button", { name: "Open the input" }).click();
  await page.getByLabel("Level of the input").waitFor();
  await record.click();
  await page.locator(".far .count").waitFor();
  await page.locator(".far").getByRole("button", { name: "Stop" }).click();
  await page.getByText("It was stopped before anything was played").waitFor();
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Close the input" }).click();
});

// The goals, 95 in 100 and F 0.95, are measured by `npm run robot:microphone`. Here less is asked: the browser's own
// microphone stands still and leaps now and then on a busy machine. What falls where it stood still is left out.
it("hears in the microphone at 20 dB what the robot played, and how late it was", {
  timeout: 120_000,
}, async () => {
  const taken = await take(page, served.folder, played);
  const { result, allowedMs } = taken.recording;
  const heard = asTaken(taken, expected, played, LAG);
  const { within, f, lag } = await shown(result!, heard.played, heard.spoilt);
  const late = 1000 * heard.late - allowedMs;
  console.log(
    `microphone: ${(100 * within).toFixed(1)} in 100 within 3 ms, F ${f.toFixed(3)}, lag ${lag.toFixed(1)} of ${late.toFixed(1)} ms, stood still ${taken.stood.length} times`,
  );
  expect(within).toBeGreaterThanOrEqual(0.9);
  expect(f).toBeGreaterThanOrEqual(0.9);
  expect(Math.abs(lag - late)).toBeLessThan(2);
});

it("hears in a file what the robot played, tells 37 ms of lag as such, and shows a table by step", async () => {
  await page.getByLabel("Or bring a WAV file").setInputFiles(join(home, "brought.wav"));
  await page.locator(".recordings td", { hasText: /^file$/ }).waitFor({ timeout: 60_000 });
  await page.locator(".as-a-whole strong", { hasText: /^3[5-9]\.\d ms late$/ }).waitFor({ timeout: 60_000 });
  const names = await readdir(join(served.folder, "Night Ferry.recordings"));
  const newest = names
    .filter((name) => name.endsWith(".json"))
    .sort()
    .at(-1)!;
  const kept = await readFile(join(served.folder, "Night Ferry.recordings", newest), "utf8");
  const result = (JSON.parse(kept) as Recording).result!;
  const { within, f } = await shown(result, noisier);
  console.log(`file at 10 dB: ${(100 * within).toFixed(1)} in 100 within 3 ms, F ${f.toFixed(3)}`);
  expect(within).toBeGreaterThanOrEqual(0.95);
  expect(f).toBeGreaterThanOrEqual(0.85);
  expect(Math.abs(result.beatLagMs! - 10)).toBeLessThan(0.1);
  // Evenly spread over ±20 ms: 11.5 ms.
  expect(result.spreadMs).toBeGreaterThan(9);
  expect(result.spreadMs).toBeLessThan(14);
  await page.getByText("The same as a table").click();
  expect(await page.locator(".result tbody tr").count()).toBeGreaterThan(2);
});

it("names the best recording of the section, and plays it beside the program’s from a bar on, at half speed", async () => {
  const results = await theRecordings();
  // Of two in which as much was met, the steadier.
  const [best] = results.sort(
    ({ result: a }, { result: b }) => b!.f - a!.f || (a!.spreadMs ?? 99) - (b!.spreadMs ?? 99),
  );
  const { matched, sounds, spreadMs, lagMs } = best!.result!;
  await page.getByRole("link", { name: "Rehearse", exact: true }).click();
  const open = page.getByRole("button", { name: "Open the best recording of Moorings" });
  expect(await open.innerText()).toBe(
    `${TEMPO} a minute, ${matched} of ${sounds.length} met, spread ${spreadMs!.toFixed(1)} ms`,
  );
  await open.click();
  await page.locator(`.result .figures[data-lag="${lagMs}"]`).waitFor();
  await page.locator('select:has(option[value="0.25"])').selectOption("0.5");
  await page.locator(".error-rows").getByRole("button", { name: "Play from bar 3" }).click();
  await page.locator(".error-rows .playhead").waitFor();
  const { bar } = compile(DEMO).sections.find((one) => one.performance.id === "moorings")!.performance;
  const offset = demoSeconds("moorings", { section: "moorings", at: 2 * bar });
  const started = await page.evaluate(() => (window as unknown as { started: Started[] }).started);
  expect(started.map(({ rate }) => rate)).toEqual([0.5, 0.5]);
  expect(started[0]!.offset - best!.allowedMs / 1000).toBeCloseTo(offset, 9);
  expect(started[1]!.offset).toBeCloseTo(offset, 9);
  await page.keyboard.press("l");
  await page.locator(".error-rows .playhead").waitFor({ state: "detached" });
});

it("judges what was stopped early up to where it was stopped, and lets nothing change how it is played meanwhile", async () => {
  await page.getByLabel("With").selectOption("keys");
  await record.click();
  await page.locator(".far .recording-now").waitFor();
  await page.keyboard.press("Shift+ArrowDown");
  await page.getByText("While you record, speed, loop and place stay").waitFor();
  await page.waitForTimeout(2_500);
  await page.keyboard.press("f");
  await page.waitForTimeout(300);
  await page.keyboard.press("r");
  await page.getByText(/^Stopped early, judged up to Moorings, bar [23], beat /).waitFor();
  await page.keyboard.press("Escape");
  await page.locator(".result .stopped").waitFor();
  const stopped = await theRecordings((one) => one.stopped === true);
  expect(stopped).toHaveLength(1);
  const { range, result, speed } = stopped[0]!;
  const seconds = demoSeconds("moorings", range.to);
  expect(speed).toBe(1);
  expect(seconds).toBeGreaterThan(2.5);
  expect(seconds).toBeLessThan(8);
  expect(result!.sounds.map(({ at }) => at)).toEqual(
    expected.meant.map(({ at }) => Number(at)).filter((at) => at < range.to.at),
  );
  // One press meets one sound at most, which says nothing of how steady it was.
  expect(result!.matched).toBeLessThanOrEqual(1);
  expect(result!.spreadMs).toBeNull();
  expect(await page.locator(".result").innerText()).not.toContain("0.0 ms.");
  await page.getByRole("link", { name: "Rehearse", exact: true }).click();
  await page.getByRole("button", { name: "Open the best recording of Moorings" }).waitFor();
  await page.getByRole("link", { name: "Recordings", exact: true }).click();
  await page.getByText("Moorings, stopped early").first().click();
});

it("judges a file that ends before the section up to its end, as no round and never the best", async () => {
  const practice = join(served.folder, "Night Ferry.practice.jsonl");
  const entries = async () =>
    (await readFile(practice, "utf8"))
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as PracticeEntry);
  const before = await entries();
  const seconds = 0.6 * (noisier.samples.length / RATE);
  const short = noisier.samples.subarray(0, Math.round(seconds * RATE));
  await writeFile(join(home, "short.wav"), wavBytes([short], RATE, 16));
  await page.getByLabel("Or bring a WAV file").setInputFiles(join(home, "short.wav"));
  await expect
    .poll(() => theRecordings((one) => one.by === "file" && one.stopped === true && one.result !== null), {
      timeout: 60_000,
    })
    .toHaveLength(1);
  const [{ range, result, id }] = (await theRecordings(
    (one) => one.by === "file" && one.stopped === true,
  )) as [Recording];
  expect(Math.abs(demoSeconds("moorings", range.to) - (seconds - LAG))).toBeLessThan(0.2);
  expect(result!.sounds.map(({ at }) => at)).toEqual(
    expected.meant.map(({ at }) => Number(at)).filter((at) => at < range.to.at),
  );
  // Those that the robot left out, and no more.
  expect(result!.sounds.filter(({ errorMs }) => errorMs === null).length).toBeLessThan(
    0.15 * result!.sounds.length,
  );
  await page.locator(".result .stopped").waitFor();
  expect(await page.locator(".result .stopped").innerText()).toMatch(
    /^It was stopped early: judged up to Moorings, bar \d+, beat .* What comes after it is not counted\.$/,
  );
  await expect.poll(async () => (await entries()).length).toBe(before.length + 1);
  expect((await entries()).at(-1)).toMatchObject({
    recording: id,
    good: 0,
    bad: 0,
    reached: null,
    failedAt: null,
  });
});

it("has nothing that axe finds in either theme, and does not scroll sideways at 390 pixels", async () => {
  await clean();
  await look("recordings");
  await fits();
});

it("puts a recording into the bin", async () => {
  const rows = page.locator(".recordings tbody tr").filter({ has: page.getByText("To the bin") });
  const before = await rows.count();
  expect(before).toBeGreaterThanOrEqual(1);
  await page.getByText("To the bin").first().click();
  await expect.poll(() => rows.count(), { timeout: 15_000 }).toBe(before - 1);
  expect(faults).toEqual([]);
});
