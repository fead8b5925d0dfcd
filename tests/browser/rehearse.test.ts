/** Rehearsing with keys and no mouse, on the built program in one Chromium. */
import { readdir } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchChromium } from "./chromium.ts";
import { type Served, serveFresh } from "./served.ts";

let browser: Browser;
let served: Served;
let page: Page;
const faults: string[] = [];

beforeAll(async () => {
  served = await serveFresh();
  browser = await launchChromium();
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  page = await context.newPage();
  page.setDefaultTimeout(10_000);
  page.on("pageerror", (error) => faults.push(error.message));
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(message.text());
  });
  await page.goto(served.link);
  await page.locator("#section-cast-off").waitFor();
});
afterAll(async () => {
  await browser?.close();
  await served?.close();
});

describe("the user's fader in the audio thread", () => {
  it("is heard within one render quantum of the press", async () => {
    const assets = await readdir(join(import.meta.dirname, "../../dist/client/assets"));
    const worklet = assets.find((name) => name.startsWith("play.worklet"));
    const first = await page.evaluate(
      async ({ url, frames, presses }) => {
        const context = new OfflineAudioContext(2, frames, 48_000);
        await context.audioWorklet.addModule(url);
        const node = new AudioWorkletNode(context, "countercut-player", {
          numberOfInputs: 0,
          numberOfOutputs: 1,
          outputChannelCount: [2],
        });
        node.connect(context.destination);
        const answered = () =>
          new Promise<void>((resolve) => {
            node.port.onmessage = ({ data }) => data.type === "mine" && resolve();
          });
        // A record's voice of 1 throughout, and a program's fader that stands open.
        const channels = Array.from({ length: 9 }, (_, channel) =>
          new Float32Array(frames).fill(channel <= 2 ? 1 : 0),
        );
        node.port.postMessage({ type: "fader", by: "mine", ticks: false });
        node.port.postMessage({ type: "play", play: 1 });
        const block = { take: 1, first: 0, frames, last: false, channels };
        node.port.postMessage({ type: "block", play: 1, block });
        const ready = answered();
        node.port.postMessage({ type: "mine", open: false });
        await ready;
        for (const at of presses) {
          void context.suspend(at / 48_000).then(async () => {
            const heard = answered();
            node.port.postMessage({ type: "mine", open: true });
            await heard;
            await context.resume();
          });
        }
        const left = (await context.startRendering()).getChannelData(0);
        return left.findIndex((sample, frame) => frame > 400 && Math.abs(sample) > 1e-6);
      },
      { url: `/assets/${worklet}`, frames: 12_800, presses: [6_400] },
    );
    // Pressed while frame 6,400 waits to be rendered: the quantum of 128 frames that begins there has it.
    expect(first).toBeGreaterThanOrEqual(6_400);
    expect(first).toBeLessThan(6_400 + 128);
  });
});
