/** Rehearsing with keys and no mouse, on the built program in one Chromium. */
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { DRILL } from "../../schemas/drill.ts";
import type { Page } from "playwright-core";
import { median } from "../bench/routines.ts";
import { devicesOf, inventDevices } from "./invented.ts";
import { openProgram } from "./opened.ts";

// A drill that is over soon, and a pedal of an invented device. The user's fader is drawn, and the user judges.
const drill = {
  ...DRILL,
  heard: "my-fader",
  goodFrom: 0,
  countIn: { count: 1, by: "beat" },
  rest: 1,
  climb: { ...DRILL.climb, start: 150, ceiling: 180, upAfter: 1, upBy: 25, downAfter: 1 },
};
const { page, served, faults, soon, clean, fits } = await openProgram({
  before: async (page) => {
    await inventDevices(page);
    await page.addInitScript((text) => {
      if (localStorage.getItem("countercut.drill") === null) localStorage.setItem("countercut.drill", text);
    }, JSON.stringify(drill));
  },
});
const { press, pad, locks, hideAndShow, inputsAsked } = devicesOf(page);

/**
 * When the line of the view from afar was put where, for a second and a half: milliseconds of the machine's clock,
 * pixels, the row's top.
 */
type Course = [time: number, x: number, y: number][];
const course = (of: Page): Promise<Course> =>
  of.evaluate(
    () =>
      new Promise<Course>((resolve) => {
        const line = document.querySelector<HTMLElement>(".far-line")!;
        const seen: Course = [];
        const watch = new MutationObserver(() => {
          const { m41, m42 } = new DOMMatrix(line.style.transform);
          seen.push([performance.timeOrigin + performance.now(), m41, m42]);
        });
        setTimeout(() => resolve(seen), 1_500);
        watch.observe(line, { attributes: true, attributeFilter: ["style"] });
      }),
  );

/** Milliseconds by which one line is elsewhere than the other at the same time, wherever both go along one row. */
function apart(one: Course, other: Course): number[] {
  return other.flatMap(([time, x]) => {
    const after = one.findIndex(([at]) => at >= time);
    const [a, b] = [one[after - 1], one[after]];
    if (a === undefined || b === undefined || a[2] !== b[2] || b[1] <= a[1]) return [];
    const speed = (b[1] - a[1]) / (b[0] - a[0]);
    const off = Math.abs(x - a[1] - speed * (time - a[0])) / speed;
    // One of them is in the next bar already, and begins at the left again.
    return off > 500 ? [] : [off];
  });
}

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

/** What became of the openings of the round before, under the bars. */
const marks = page.locator(".round-marks");
const shows = (text: string, of = page) => of.getByText(text, { exact: false }).first().waitFor();

describe("a drill", { timeout: 120_000 }, () => {
  it("measures the delay by sweeps, once it was told to: a cable of 57 ms is 57 ms", async () => {
    await page.keyboard.press("Alt+3");
    await page.getByRole("button", { name: "Measure the delay" }).click();
    await shows("Take headphones off the ears and turn down first");
    expect(await inputsAsked()).toBe(0);
    await page.getByRole("button", { name: "Play the sweeps, quietly" }).click();
    const said = page.getByText("Out and back takes");
    await said.waitFor();
    const [, loop, apart] = /takes ([\d.]+) ms .* lay ([\d.]+) ms/.exec(await said.innerText()) ?? [];
    expect(Math.abs(Number(loop) - 57)).toBeLessThan(1);
    expect(Number(apart)).toBeLessThan(0.2);
    await page.getByRole("button", { name: "Allow for nothing more" }).click();
  });

  it("learns a pedal, a pad's button and slides by their being moved", async () => {
    await page.getByRole("button", { name: "Let MIDI in" }).click();
    await shows("Invented pedal");
    await page.getByRole("button", { name: "Learn: Start or stop" }).click();
    await press(0xb0, 64, 127);
    await page.locator("kbd", { hasText: "MIDI controller 64" }).waitFor();
    await press(0xb0, 64, 0);
    await page.getByRole("button", { name: "Learn: Your fader" }).press("Enter");
    await page.keyboard.press("g");
    await page.getByRole("table").getByText("G", { exact: true }).waitFor();
    // The first look says where a pad stands.
    await pad("axis", 0, -1);
    await page.waitForTimeout(50);
    await page.getByRole("button", { name: "Learn: That round was good" }).click();
    await pad("button", 2, 1);
    await page.locator("kbd", { hasText: "pad button 3" }).waitFor();
    await pad("button", 2, 0);
    await page.getByRole("button", { name: "Learn: Your fader" }).click();
    await pad("axis", 0, 0.1);
    await page.locator("kbd", { hasText: "pad axis 1" }).waitFor();
    expect(await page.locator(".far").count()).toBe(0);
  });

  it("starts with the first join by the pedal, climbs by a pad, falls by a key, keeps the screen awake, and a second window follows", async () => {
    await press(0xb0, 64, 127);
    await page.keyboard.press("Enter"); // The caution, heard once.
    const second = await page.context().newPage();
    await second.goto(`${page.url().split("#")[0]}#/rehearse/far`);
    const top = (of: Page) => of.locator(".far-top").innerText();
    await soon(() => top(page)).toContain("150 %, 138 a minute");
    await page.locator(".far-line:not([hidden])").waitFor();
    await second.locator(".far-line:not([hidden])").waitFor();
    expect(await top(second)).toBe(await top(page));
    // A busy machine draws a few frames a second.
    const off: number[] = [];
    for (let look = 0; look < 8 && off.length <= 5; look++) {
      const [ours, theirs] = await Promise.all([course(page), course(second)]);
      off.push(...apart(ours, theirs));
    }
    expect(off.length).toBeGreaterThan(5);
    expect(median(off)).toBeLessThan(17);
    await second.close();
    expect(await locks()).toEqual({ asked: 1, held: 1 });
    await hideAndShow();
    await soon(locks).toEqual({ asked: 2, held: 1 });
    await shows("Was it good?");
    // Nobody tapped. Wake opens each third sixteenth, the 33rd after its start first, until Home at the 60th: there and
    // at the 62nd.
    const marked = () => marks.evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")));
    await soon(marked).toEqual([
      "Bar 3: of 5 openings 0 in time, 5 missed.",
      "Bar 4: of 6 openings 0 in time, 6 missed.",
    ]);
    await pad("button", 2, 1);
    await pad("button", 2, 0);
    await soon(() => top(page)).toContain("175 %, 161 a minute");
    await shows("Was it good?");
    await page.keyboard.press("ArrowDown");
    await soon(() => top(page)).toContain("170 %, 156 a minute");
  });

  it("says at its end what held, what failed and what to do tomorrow, and keeps it in the folder", async () => {
    await press(0xb0, 64, 0);
    await press(0xb0, 64, 127);
    const said = await page.locator(".far-outcome").innerText();
    expect(said.split(/\n+/)).toEqual([
      "Held at 150 %, 138 a minute",
      "Failed from 175 %, 161 a minute",
      "Weakest: bar 3, beat 1\u00a01/4, missed 2 of 2",
      "Tomorrow: Wake to Home",
      "Space plays it again",
    ]);
    const line = async () => {
      const text = await readFile(join(served.folder, "Night Ferry.practice.jsonl"), "utf8").catch(
        () => "{}",
      );
      const { of, good, bad, reached, failedAt, written } = JSON.parse(text);
      return { of, good, bad, reached, failedAt, written };
    };
    await soon(line).toEqual({
      of: {
        kind: "join",
        from: { section: "cast-off", pattern: "wake" },
        to: { section: "cast-off", pattern: "home" },
      },
      good: 1,
      bad: 1,
      reached: 138,
      failedAt: 161,
      written: 92,
    });
    await page.keyboard.press("Escape");
    await page.locator(".progress tbody tr").first().waitFor();
    expect((await locks()).held).toBe(0);
  });

  it("gates the record by the key and the slides that were learnt, judges the round by its taps, and goes over all joins in random order", async () => {
    await page.keyboard.press("j");
    await soon(() => page.locator(".chosen-part").innerText()).toBe("All joins, in random order");
    const joins = await page.locator('.drill optgroup[label="Joins"] option').allTextContents();
    const heard = () => page.getByLabel("Heard").inputValue();
    for (let times = 0; times < 6; times++) await page.keyboard.press("h");
    expect(await heard()).toBe("fader");
    await page.keyboard.press("h");
    expect(await heard()).toBe("my-fader");
    await page.getByLabel("Taps judge a round good from").fill("90");
    await page.keyboard.press("Enter");
    await page.locator("#content").focus();
    const title = () => page.locator(".far-top strong").innerText();
    const among = (name: string) => joins.some((join) => join.startsWith(`${name} (`));
    await press(0xb0, 64, 0);
    await press(0xb0, 64, 127);
    await page.locator(".far-line:not([hidden])").waitFor();
    const fader = (now: string) => page.getByRole("img", { name: `Your fader is ${now}` }).waitFor();
    await page.keyboard.down("g");
    await fader("open");
    await page.keyboard.up("g");
    await fader("closed");
    // The record stands on the left: closed at the right end.
    await pad("axis", 0, -0.5);
    await fader("open");
    await pad("axis", 0, 0.99);
    await fader("closed");
    const first = await title();
    await shows("It went wrong");
    const next = (await page.locator(".record-side span").innerText()).replace("Next: ", "");
    expect([among(first), among(next), next === first]).toEqual([true, true, false]);
    await soon(title).toBe(next);
    await page.keyboard.press("Space");
    await shows("Weakest: ");
    await page.keyboard.press("Escape");
  });

  it("passes axe, and fits a phone", async () => {
    await page.locator(".chosen-part").waitFor();
    await clean();
    await page.keyboard.press("v");
    await page.locator(".far").waitFor();
    await clean();
    await page.keyboard.press("Escape");
    await fits();
    expect(faults).toEqual([]);
  });
});
