/** A robot plays a section with errors that are known: the screen shows them as they were. */
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Recording } from "../../schemas/recording.ts";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { demoExpected } from "../recordings/demo.ts";
import { PLAIN, play } from "../recordings/robot.ts";
import { openProgram } from "./opened.ts";

const RATE = 48_000;
const LAG = 0.037;

let home: string;
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

const { page, faults, clean, fits, look } = await openProgram({
  flags: ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"],
  before: (page) => page.addInitScript(() => localStorage.setItem("countercut.caution-seen", "true")),
});
beforeAll(async () => {
  page.setDefaultTimeout(60_000);
  home = await mkdtemp(join(tmpdir(), "countercut-robot-"));
  await writeFile(join(home, "brought.wav"), wavBytes([played.samples], RATE, 16));
  await page.getByRole("link", { name: "Recordings", exact: true }).click();
  await page.locator(".recordings select").first().selectOption("section moorings");
});
afterAll(() => rm(home, { recursive: true, force: true }));

/** The newest recording as the server keeps it. */
const newest = () =>
  page.evaluate(async () => {
    const path = "/routines/Night%20Ferry/recordings";
    const headers = { authorization: `Bearer ${localStorage.getItem("countercut.bearer")}` };
    const { recordings } = await (await fetch(path, { headers })).json();
    const one = await fetch(`${path}/${encodeURIComponent(recordings[0].id)}`, { headers });
    return (await one.json()) as Recording;
  });

/** Of the sounds that were played, the part whose shown error is the known one within 3 ms. */
function within({ result }: Recording): number {
  const known = played.errors.map((error) => (error === null ? null : 1000 * error));
  const right = result!.sounds.filter(({ errorMs }, index) => {
    const error = known[index];
    return error != null && errorMs !== null && Math.abs(errorMs - error) < 3;
  });
  return right.length / known.filter((error) => error !== null).length;
}

it("says what is to be done before anything is there", async () => {
  await page.getByText("There is no recording of this routine yet").waitFor();
  await page.getByText("Nothing is listened to before you open the input").waitFor();
  expect(await page.getByRole("button", { name: "Record", exact: true }).isDisabled()).toBe(true);
});

it("opens the input when it is asked to, shows its level, and shuts it", async () => {
  await page.getByRole("button", { name: "Open the input" }).click();
  await page.getByLabel("Level of the input").waitFor();
  expect(await page.getByRole("button", { name: "Record", exact: true }).isDisabled()).toBe(false);
  await page.getByRole("button", { name: "Shut the input" }).click();
  await page.getByText("Nothing is listened to before you open the input").waitFor();
});

it("hears in a file what the robot played, and shows it on the bar rows, by step and as a table", async () => {
  await page.getByLabel("Or bring a WAV file").setInputFiles(join(home, "brought.wav"));
  await page.locator("#result-head").waitFor();
  await expect.poll(async () => (await newest()).by, { timeout: 60_000 }).toBe("file");
  await expect.poll(async () => (await newest()).result !== null, { timeout: 60_000 }).toBe(true);
  const recording = await newest();
  console.log(
    `file: ${(100 * within(recording)).toFixed(1)} % within 3 ms, lag ${recording.result?.lagMs?.toFixed(2)} ms`,
  );
  expect(within(recording)).toBeGreaterThanOrEqual(0.9);
  expect(Math.abs((recording.result?.lagMs ?? 0) - 1000 * LAG)).toBeLessThan(2);
  expect(await page.locator("svg.marks").count()).toBeGreaterThan(2);
  const missed = played.errors.filter((error) => error === null).length;
  expect(await page.locator("svg.marks .missed").count()).toBeGreaterThanOrEqual(missed);
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
