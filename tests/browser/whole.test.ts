/** From one screen to the next, with the second example: what stands between the screens, and belongs to none. */
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { ATTIC_WALTZ, LOFT_TAPE } from "../../server/routine/atticWaltz.ts";
import { tapeOf } from "../../server/sound/tape.ts";
import { openProgram } from "./opened.ts";

const NAME = "Attic Waltz";
const { page, served, faults, soon, go } = await openProgram();

it("opens the second example from the folder, with the tape that it plays", async () => {
  await page.getByRole("heading", { level: 1 }).getByRole("button").click();
  await page.getByRole("button", { name: `Begin with ${NAME}` }).click();
  await page.getByRole("heading", { level: 1, name: NAME }).waitFor();
  await soon(() => served.routine(NAME)).toEqual(JSON.parse(JSON.stringify(ATTIC_WALTZ)));
  const { file, beat: id, ...as } = LOFT_TAPE;
  const kept = await readFile(join(served.folder, `${NAME}.sounds`, file));
  const drawn = ATTIC_WALTZ.beats.find((beat) => beat.id === id)!;
  expect(Buffer.compare(kept, tapeOf(drawn, as))).toBe(0);
  await go("#/write/beat%20loft-tape");
  await page.locator(".waveform").waitFor();
  expect(await page.locator(".foot .place").innerText()).toContain("Beat");
});

it("begins a screen at its top, and finds one again where it was left", async () => {
  await go("#/routine");
  await page.locator("#section-dust-in-the-light").waitFor();
  // Before the browser could tell of the scrolling.
  const left = await page.evaluate(() => {
    document.getElementById("section-dust-in-the-light")?.scrollIntoView();
    location.hash = "#/rehearse";
    return scrollY;
  });
  expect(left).toBeGreaterThan(800);
  await page.locator(".rehearse").waitFor();
  expect(await page.evaluate(() => scrollY)).toBe(0);
  await go("#/routine");
  await soon(() => page.evaluate(() => scrollY)).toBeGreaterThan(800);
});

it("left no error in the browser", () => {
  expect(faults).toEqual([]);
});
