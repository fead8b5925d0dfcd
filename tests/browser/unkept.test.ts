/** Nothing that was played is lost: where the folder cannot take it, and where the input goes meanwhile. */
import { readdir, readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import type { Recording } from "../../schemas/recording.ts";
import { openProgram } from "./opened.ts";

const { page, served, faults, soon, go, clean, fits, look } = await openProgram({
  flags: ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"],
  before: (page) =>
    page.addInitScript(() => {
      localStorage.setItem("countercut.caution-seen", "true");
      const devices = navigator.mediaDevices;
      const real = devices.getUserMedia.bind(devices);
      devices.getUserMedia = async (wish) => {
        const stream = await real(wish);
        // As where the plug is pulled.
        const pull = () => stream.getAudioTracks()[0]?.dispatchEvent(new Event("ended"));
        Object.assign(window, { pull });
        return stream;
      };
    }),
});
const folder = join(served.folder, "Night Ferry.recordings");
const record = page.locator(".recordings button.record");
const takes = page.locator(".unkept .warn");

async function theRecordings(): Promise<Recording[]> {
  const names = await readdir(folder).catch(() => []);
  const notes = names.filter((name) => name.endsWith(".json")).sort();
  return Promise.all(
    notes.map(async (name) => JSON.parse(await readFile(join(folder, name), "utf8")) as Recording),
  );
}

async function playKeys(part: string, presses: number): Promise<void> {
  await page.locator(".recordings select").first().selectOption(part);
  await page.getByLabel("With").selectOption("keys");
  await record.click();
  await page.locator(".far .recording-now").waitFor();
  for (let press = 0; press < presses; press++) await page.keyboard.press("f", { delay: 30 });
  await page.waitForTimeout(1_500);
  await page.keyboard.press("r");
  await page.getByText("What you played is held in this page: Esc leads to it.").waitFor();
  await page.keyboard.press("Escape");
}

it("keeps what keys played in the page where the folder cannot take it, says why, and outlasts a reload", async () => {
  await go("#/recordings");
  // No folder can be made where a file of that name stands.
  await writeFile(folder, "");
  await playKeys("section moorings", 3);
  await takes.waitFor();
  expect(await takes.innerText()).toMatch(
    /^What you played of Moorings is not kept in the folder, .*closed\. Changes cannot be saved: a file stands where its folder should be\.$/,
  );
  expect(await page.getByText("a file stands where").count()).toBe(1);
  await playKeys("section cast-off", 2);
  await soon(() => takes.count()).toBe(2);
  await page.reload();
  await soon(() => takes.count()).toBe(2);
  const saving = page.waitForEvent("download");
  await page.getByRole("button", { name: "Export the times" }).first().click();
  const file = await (await saving).path();
  const [head, ...times] = (await readFile(file, "utf8")).trim().split("\n");
  expect(head).toBe("# Night Ferry: Moorings, keys, 100 % speed");
  expect(times).toHaveLength(3);
  await clean();
  await look("unkept");
  await fits();
  // The browser itself says each answer that refused.
  for (const fault of faults.splice(0)) expect(fault).toMatch(/^Failed to load resource: .* 50\d /);
});

it("keeps all of it in the folder once that can be written, each once", async () => {
  await rm(folder);
  await page.getByRole("button", { name: "Keep them" }).click();
  await soon(async () =>
    (await theRecordings()).map(({ title, result }) => [title, result !== null]),
  ).toEqual([
    ["Moorings", true],
    ["Cast off", true],
  ]);
  expect(await takes.count()).toBe(0);
  expect((await theRecordings()).map(({ times }) => times?.length)).toEqual([3, 2]);
  await page.reload();
  await page.locator(".recordings tbody tr").nth(1).waitFor();
  expect(await takes.count()).toBe(0);
  expect(await theRecordings()).toHaveLength(2);
});

it("keeps what came in until the input went, and judges it up to there", async () => {
  await page.getByLabel("With").selectOption("microphone");
  await page.getByRole("button", { name: "Open the input" }).click();
  await page.getByLabel("Level of the input").waitFor();
  await record.click();
  await page.locator(".far .recording-now").waitFor();
  await page.waitForTimeout(2_500);
  await page.evaluate(() => (window as unknown as { pull(): void }).pull());
  await soon(async () => (await theRecordings()).at(-1)?.by).toBe("microphone");
  const taken = (await theRecordings()).at(-1)!;
  expect(taken.stopped).toBe(true);
  expect(taken.seconds).toBeGreaterThan(2);
  // The browser's own tones.
  expect(taken.peak).toBeGreaterThan(0.01);
  expect(faults).toEqual([]);
});
