/** A robot plays a section with errors that are known: the screen shows them as they were. */
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import type { Recording, RecordingResult } from "../../schemas/recording.ts";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { demoExpected, demoSeconds } from "../recordings/demo.ts";
import { judged } from "../recordings/judged.ts";
import { PLAIN, play } from "../recordings/robot.ts";
import { microphoneFlags } from "./microphone.ts";
import { openProgram } from "./opened.ts";

const RATE = 48_000;
const LAG = 0.037;

const expected = demoExpected("moorings");
const played = play(expected, {
  ...PLAIN,
  seed: 21,
  lag: LAG,
  snr: 20,
  beat: 0.5,
  leftOut: 0.05,
  added: 0.04,
});
const home = await mkdtemp(join(tmpdir(), "countercut-robot-"));
await writeFile(join(home, "brought.wav"), wavBytes([played.samples], RATE, 16));
const microphone = join(home, "microphone.wav");
await writeFile(microphone, wavBytes([new Float32Array(RATE)], RATE, 16));
afterAll(() => rm(home, { recursive: true, force: true }));

const { page, served, faults, clean, fits, look } = await openProgram({
  flags: microphoneFlags(microphone),
  before: (page) => page.addInitScript(() => localStorage.setItem("countercut.caution-seen", "true")),
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

/** What the screen says of the recording that is open, against what the robot played. */
async function shown({ extra }: RecordingResult) {
  const figures = page.locator(".result .figures");
  const lag = Number(await figures.getAttribute("data-lag"));
  const errors = await shownErrors();
  const where = extra.map((one) => demoSeconds("moorings", one));
  return { lag, ...judged(expected.meant, played, LAG, errors, where) };
}

it("says what is to be done before anything is there, and when it was stopped too soon", async () => {
  await page.getByText("There is no recording of this routine yet").waitFor();
  await page.getByText("Nothing is listened to before you open the input").waitFor();
  expect(await record.isDisabled()).toBe(true);
  await page.getByRole("button", { name: "Open the input" }).click();
  await page.getByLabel("Level of the input").waitFor();
  await record.click();
  await record.filter({ hasText: "Stop" }).waitFor();
  await record.click();
  await page.getByText("It was stopped before anything was played").waitFor();
  await page.getByRole("button", { name: "Close the input" }).click();
});

it("hears in a file what the robot played, tells 37 ms of lag as such, and shows a table by step", async () => {
  await page.getByLabel("Or bring a WAV file").setInputFiles(join(home, "brought.wav"));
  await page.locator(".recordings td", { hasText: /^file$/ }).waitFor({ timeout: 60_000 });
  await page.locator(".as-a-whole strong", { hasText: /^3[5-9]\.\d ms late$/ }).waitFor({ timeout: 60_000 });
  const [newest = ""] = (await readdir(join(served.folder, "Night Ferry.recordings"))).filter((name) =>
    name.endsWith(".json"),
  );
  const kept = await readFile(join(served.folder, "Night Ferry.recordings", newest), "utf8");
  const { within, f } = await shown((JSON.parse(kept) as Recording).result!);
  console.log(`file: ${(100 * within).toFixed(1)} in 100 within 3 ms, F ${f.toFixed(3)}`);
  expect(within).toBeGreaterThanOrEqual(0.95);
  expect(f).toBeGreaterThanOrEqual(0.95);
  await page.getByText("The same as a table").click();
  expect(await page.locator(".result tbody tr").count()).toBeGreaterThan(2);
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
  await expect.poll(() => rows.count()).toBe(before - 1);
  expect(faults).toEqual([]);
});
