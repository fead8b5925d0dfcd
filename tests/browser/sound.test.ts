/** Sound in a real browser: with edits going on, with a page, a server or an output that stands still for a while. */
import { cpus } from "node:os";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it, type TestContext } from "vitest";
import { launchChromium } from "./chromium.ts";
import { editWhilePlaying, lastReport, listenIn, type Report, startPlaying } from "./listening.ts";
import { type Served, serveFresh } from "./served.ts";

let browser: Browser;
let served: Served;
let page: Page;
const faults: string[] = [];

beforeAll(async () => {
  served = await serveFresh();
  browser = await launchChromium();
  page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  page.setDefaultTimeout(20_000);
  page.on("pageerror", (error) => faults.push(error.message));
  await page.addInitScript(listenIn);
  await page.goto(served.link);
  await page.evaluate(() => document.getElementById("section-cast-off")?.scrollIntoView());
  await page.locator("#section-cast-off button.placed").first().waitFor();
  await page.keyboard.press("l");
  await startPlaying(page);
  await page.getByText("Preparing", { exact: false }).waitFor({ state: "detached", timeout: 90_000 });
});
afterAll(async () => {
  await browser?.close();
  await served?.close();
});

/** Milliseconds by which a bare timer comes too late, and the share of its time that a machine idles if nobody else needs it. */
const STALL = 25;
const IDLE = 0.1;
/** So often at most, until it was done often enough while nobody else held the machine up. */
const TRIES = 12;

/** Does something until it was done so many times undisturbed, and judges those; a machine too busy for it is told as skipped. */
async function undisturbed(test: TestContext, times: number, work: () => Promise<unknown>): Promise<void> {
  let judged = 0;
  for (let tries = 0; judged < times; tries++) {
    if (tries === TRIES) test.skip("This machine had too much else to do to judge it.");
    const before = await lastReport(page);
    const busy = watchMachine();
    await work();
    const { late, idle } = busy();
    const after = await lastReport(page);
    expect(lag(after)).toBe(lag(before));
    if (late > STALL || idle < IDLE) continue;
    judged++;
    expect(after.underruns - before.underruns).toBe(0);
  }
}

/** @returns ends it, and tells by how many milliseconds a timer was late at most, and how much of the machine idled */
function watchMachine(): () => { late: number; idle: number } {
  const idled = (): number => cpus().reduce((sum, { times }) => sum + times.idle, 0) / cpus().length;
  const [began, idleBefore] = [performance.now(), idled()];
  let [last, late] = [began, 0];
  const timer = setInterval(() => {
    late = Math.max(late, performance.now() - last - 5);
    last = performance.now();
  }, 5);
  return () => {
    clearInterval(timer);
    return { late, idle: (idled() - idleBefore) / (performance.now() - began) };
  };
}

/** Frames by which the play lags behind the clock of the output. */
const lag = (report: Report): number => report.contextFrame - report.frame;
/** Waits until the audio thread has read on for so many frames. */
async function playedOn(frames: number): Promise<Report> {
  const { frame } = await lastReport(page);
  await page.waitForFunction((until) => window.heard.reports.at(-1)!.frame >= until, frame + frames);
  return lastReport(page);
}

describe("sound that plays on", { timeout: 60_000 }, () => {
  it("never runs out and never comes later while the routine is edited", (test) =>
    undisturbed(test, 4, async () => {
      await editWhilePlaying(page, 2, 150);
      await playedOn(9_600);
    }));

  it("never runs out while the page itself can do nothing for two seconds", (test) =>
    undisturbed(test, 1, async () => {
      await page.evaluate(() => {
        const until = performance.now() + 2_000;
        while (performance.now() < until);
      });
      await playedOn(48_000);
    }));

  it("counts and shows what is missing while the server stands still, and is then where it would have been", async () => {
    const before = await lastReport(page);
    await page.keyboard.press("m");
    await page.getByText("How the sound is doing").click();
    const shown = page.locator(".sound-details dd").first();
    const words = ({ underruns }: Report): string => (underruns === 1 ? "once" : `${underruns} times`);
    await expect.poll(() => shown.innerText(), { timeout: 15_000 }).toBe(words(before));
    await served.standStill(1_000);
    await page.waitForFunction((ahead) => window.heard.reports.at(-1)!.ahead >= ahead, 12_000);
    const after = await playedOn(9_600);
    expect(after.underruns).toBeGreaterThan(before.underruns);
    expect(lag(after)).toBe(lag(before));
    await expect.poll(() => shown.innerText(), { timeout: 15_000 }).toBe(words(await lastReport(page)));
    await page.keyboard.press("m");
  });

  it("goes on where it was when the output falls asleep", async () => {
    const before = await lastReport(page);
    await page.evaluate(() => window.heard.context!.suspend());
    await page.waitForFunction(() => window.heard.context!.state === "running");
    await playedOn(9_600);
    const after = await lastReport(page);
    expect(after.underruns - before.underruns).toBe(0);
    expect(lag(after)).toBe(lag(before));
  });

  it("goes on where it was when the output becomes another device", async () => {
    const before = await lastReport(page);
    // The one that every browser has: it takes the sound and plays it to nobody.
    await page.evaluate(async () => {
      const context = window.heard.context as AudioContext & { setSinkId(sink: unknown): Promise<void> };
      await context.setSinkId({ type: "none" });
    });
    await page.waitForFunction(() => window.heard.context!.state === "running");
    const after = await playedOn(9_600);
    expect(after.underruns - before.underruns).toBe(0);
    expect(lag(after)).toBe(lag(before));
  });

  it("shows what is to come with the next bar, and stays when it is not wanted", async () => {
    await page.keyboard.press("m");
    await page.getByLabel("While playing, another phrase or place comes").selectOption("bar");
    await page.keyboard.press("m");
    // In the page itself, since a bar is soon over.
    const [coming, left] = await page.evaluate(async () => {
      const shown = () => document.querySelector<HTMLElement>(".foot .coming");
      const until = async (there: boolean) => {
        while ((shown() !== null) !== there) await new Promise(requestAnimationFrame);
      };
      document.querySelector<HTMLElement>("#section-cast-off button.number")!.click();
      await until(true);
      const text = shown()!.innerText;
      shown()!.querySelector("button")!.click();
      await until(false);
      return [text, window.heard.said.at(-1)];
    });
    expect(coming).toMatch(/^With the next bar: .*, bar \d/);
    expect(JSON.parse(left!)).toMatchObject({ type: "keep" });
    expect(faults).toEqual([]);
  });
});
