/**
 * The page in a real Chromium, as a player meets it: how long until there is something to see and to hear, and how
 * long from a key until a change is seen and heard. "Heard" is the moment at which the frame from which on the audio
 * thread plays what was rendered after the change leaves the device, by the browser's own stamps of its output.
 */
import { mkdtemp, rm } from "node:fs/promises";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { writeRoutine } from "../../server/routine/write.ts";
import { launchChromium } from "../browser/chromium.ts";
import { serveFolder } from "../browser/served.ts";
import { type Key, PlainPage } from "./plainPage.ts";
import { longRoutine, median } from "./routines.ts";
import type { BenchRow } from "./row.ts";

/** What the page is asked to note down, from before its own code runs. Times in milliseconds since it opened. */
interface Notes {
  /** What the audio thread said: its take, and the frame of the output at which that began. */
  reports: { frame: number; take: number; began: number }[];
  /** Of a frame of the output. */
  heardAt(outputFrame: number): number;
}
declare global {
  interface Window {
    notes: Notes;
  }
}

function noteSound(): void {
  const reports: Notes["reports"] = [];
  let context: AudioContext | undefined;
  window.notes = {
    reports,
    heardAt(outputFrame) {
      const { contextTime = 0, performanceTime = 0 } = context?.getOutputTimestamp() ?? {};
      return performanceTime + (outputFrame / 48 - contextTime * 1000);
    },
  };
  const Node = window.AudioWorkletNode;
  window.AudioWorkletNode = class extends Node {
    constructor(owner: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
      super(owner, name, options);
      context = owner as AudioContext;
      this.port.addEventListener("message", ({ data }) => {
        if (data.type !== "at") return;
        const { frame, contextFrame, take, since } = data;
        if (frame >= since) reports.push({ frame, take, began: contextFrame - (frame - since) });
      });
    }
  };
}

/**
 * Does something in the page and waits until it is seen (`seen` gives another text than before) and heard.
 * @returns milliseconds from the key to each
 */
async function change(page: PlainPage, key: Key, selector: string): Promise<{ seen: number; heard: number }> {
  await page.evaluate((what) => {
    const look = (): string =>
      [...document.querySelectorAll(what)]
        .map((one) => `${one.getAttribute("style")} ${one.textContent}`)
        .join();
    const state = { key: 0, seen: 0, take: window.notes.reports.at(-1)?.take ?? 0 };
    (window as unknown as { state: typeof state }).state = state;
    addEventListener(
      "keydown",
      () => {
        state.key = performance.now();
        const before = look();
        const wait = (): void => {
          // The frame after the one in which the change stands in the page: it is painted by then.
          if (look() === before) requestAnimationFrame(wait);
          else requestAnimationFrame(() => (state.seen = performance.now()));
        };
        requestAnimationFrame(wait);
      },
      { once: true, capture: true },
    );
  }, selector);
  await page.press(key);
  return page.waitFor(() => {
    const { state, notes } = window as unknown as {
      state: { key: number; seen: number; take: number };
      notes: Notes;
    };
    const report = notes.reports.find(({ take }) => take > state.take);
    if (report === undefined || state.seen === 0) return null;
    return { seen: state.seen - state.key, heard: notes.heardAt(report.began) - state.key };
  });
}

const row = (what: string, ms: number, limit: number): BenchRow => ({
  what,
  figure: `${ms.toFixed(0)} ms`,
  against: `limit: ${limit.toFixed(limit < 100 ? 1 : 0)} ms`,
  ratio: `${(limit / ms).toFixed(2)} times`,
  goal: "at least 1",
});

/** Of a few changes after each other: the one in the middle, and the slowest. */
const both = (what: string, changes: readonly { seen: number; heard: number }[]): BenchRow[] =>
  (["seen", "heard"] as const).flatMap((sense) => {
    const times = changes.map((one) => one[sense]);
    return [
      row(`page: ${what}, ${sense}, median`, median(times), 150),
      row(`page: ${what}, ${sense}, slowest`, Math.max(...times), 150),
    ];
  });

const rest = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));
/** Milliseconds that a player listens before the first change: a bar. */
const LISTENED = 2_600;
/** Milliseconds in which the rest of a long routine has come. */
const ARRIVED = 4_000;

async function opened(browser: Browser, link: string): Promise<{ page: PlainPage; picture: number }> {
  const page = await PlainPage.open(browser);
  await page.atFirst(noteSound);
  const since = performance.now();
  await page.goto(link);
  await page.waitFor(() => document.querySelector("main div.row") !== null);
  return { page, picture: performance.now() - since };
}

const ONE_PICTURE = `<!doctype html><title>One picture</title><main><div class="row">
<svg width="900" height="80"><path d="M0 0H900V80Z"/></svg></div></main>`;

/** The least that this browser takes on this machine: a page with one picture and no code, once it is warm. */
async function leastPicture(browser: Browser): Promise<number> {
  const server = createServer((_request, response) => {
    response.setHeader("Content-Type", "text/html");
    response.end(ONE_PICTURE);
  });
  await new Promise<void>((done) => server.listen(0, "127.0.0.1", done));
  const link = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
  const times: number[] = [];
  for (let turn = 0; turn < 4; turn++) {
    const { page, picture } = await opened(browser, link);
    times.push(picture);
    await page.close();
  }
  server.close();
  return median(times.slice(1));
}

/** Frame times while the page scrolls through everything, from the browser's own animation frames. */
async function scrolled(page: PlainPage): Promise<number[]> {
  return page.evaluate(
    () =>
      new Promise<number[]>((resolve) => {
        const times: number[] = [];
        let last = performance.now();
        const step = (now: number): void => {
          times.push(now - last);
          last = now;
          scrollBy(0, 120);
          if (times.length < 300) requestAnimationFrame(step);
          else resolve(times.slice(5));
        };
        requestAnimationFrame(step);
      }),
  );
}

export async function bench(): Promise<BenchRow[]> {
  const home = await mkdtemp(join(tmpdir(), "countercut-page-"));
  const browser = await launchChromium();
  const rows: BenchRow[] = [];
  try {
    const least = await leastPicture(browser);
    const first = (what: string, ms: number): BenchRow => {
      const one = row(what, ms, 1000);
      return { ...one, against: `${one.against}; a page with one picture: ${least.toFixed(0)} ms` };
    };
    const demo = join(home, "demo");
    const served = await serveFolder(demo, home);
    try {
      const { page, picture } = await opened(browser, served.link);
      rows.push(first("page: first picture of the demo", picture));
      const since = performance.now();
      await page.evaluate(() => document.getElementById("content")?.focus());
      await page.press("Space");
      await page.click(() =>
        [...document.querySelectorAll("button")].find((one) => one.textContent === "Play, quietly"),
      );
      await page.waitFor(() => window.notes.reports.some(({ frame }) => frame > 0));
      rows.push(row("page: its sound, from opening", picture + performance.now() - since, 5000));
      await rest(LISTENED);
      await page.click(() =>
        [...document.querySelectorAll("#section-cast-off button.placed")].find((one) =>
          one.textContent.includes("Wake"),
        ),
      );
      const moves: { seen: number; heard: number }[] = [];
      for (let turn = 0; turn < 12; turn++) {
        const key = turn % 2 === 0 ? "ArrowLeft" : "ArrowRight";
        moves.push(await change(page, key, "#section-cast-off button.placed"));
      }
      rows.push(...both("a placement moved", moves));
      await page.click(() =>
        [...document.querySelectorAll("#section-cast-off button")].find(
          (one) => one.textContent === "Change",
        ),
      );
      const tempos: { seen: number; heard: number }[] = [];
      for (let turn = 0; turn < 12; turn++) {
        await page.fill(
          () => document.querySelector<HTMLInputElement>('#section-cast-off [aria-label="Tempo"]'),
          `${93 + turn}`,
        );
        tempos.push(await change(page, "Enter", "#section-cast-off .section-head"));
      }
      rows.push(...both("a tempo changed", tempos));
      await page.close();
    } finally {
      await served.close();
    }
    const long = join(home, "long");
    const many = await serveFolder(long, home, {
      "Long Crossing": writeRoutine({ ...longRoutine(500), title: "Long Crossing" }),
    });
    try {
      const { page, picture } = await opened(browser, many.link);
      rows.push(first("page: first picture of 500 sections", picture));
      for (const when of [" while the rest comes", ""]) {
        const frames = (await scrolled(page)).sort((a, b) => a - b);
        const late = frames[Math.floor(frames.length * 0.95)] ?? 0;
        rows.push(row(`page: a frame while scrolling${when}, median`, median(frames), 1000 / 60 + 0.5));
        rows.push(row(`page: a frame while scrolling${when}, 95 in 100`, late, 25));
        await rest(ARRIVED);
        await page.evaluate(() => scrollTo(0, 0));
      }
      await page.close();
    } finally {
      await many.close();
    }
  } finally {
    await browser.close();
    await rm(home, { recursive: true, force: true });
  }
  return rows;
}
