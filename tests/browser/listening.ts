/** A page that plays while its routine is edited, and what its audio thread said meanwhile. */
import type { Page } from "playwright-core";

export interface Report {
  readonly frame: number;
  readonly contextFrame: number;
  readonly ahead: number;
  readonly underruns: number;
}
declare global {
  interface Window {
    heard: {
      reports: Report[];
      context?: AudioContext;
      takes: number;
      /** Messages to the sound socket and from it, less what the thread that holds it says by itself. */
      said: string[];
      told: string[];
    };
  }
}

/** To be called before the page's own code runs: keeps the context, the audio thread's reports and what is said. */
export function listenIn(): void {
  window.heard = { reports: [], takes: 1, said: [], told: [] };
  const Node = window.AudioWorkletNode;
  window.AudioWorkletNode = class extends Node {
    constructor(owner: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
      super(owner, name, options);
      window.heard.context = owner as AudioContext;
      this.port.addEventListener("message", ({ data }) => {
        if (data.type !== "at") return;
        window.heard.reports.push(data);
        if (window.heard.reports.length > 4_000) window.heard.reports.splice(1, 1_000);
      });
    }
  };
  const Thread = window.Worker;
  window.Worker = class extends Thread {
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      this.addEventListener("message", ({ data }) => {
        if (data.type === "heads")
          for (const { take } of data.heads) window.heard.takes = Math.max(window.heard.takes, take);
        if (data.type === "text") window.heard.told.push(data.text);
      });
      const post = this.postMessage.bind(this) as (...all: unknown[]) => void;
      this.postMessage = (...all: unknown[]) => {
        const [{ type, text }] = all as [{ type: string; text: string }];
        if (type === "say") window.heard.said.push(text);
        post(...all);
      };
    }
  };
}

/** The first play of a browser, past the caution. */
export async function startPlaying(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Play", exact: true }).click();
  await page.getByRole("button", { name: "Play, quietly" }).click();
  await page.waitForFunction(() => window.heard.reports.length > 5);
}

export const lastReport = (page: Page): Promise<Report> => page.evaluate(() => window.heard.reports.at(-1)!);

/** Nudges a placement of the second section to and fro, one edit at a time. @returns edits made */
export async function editWhilePlaying(page: Page, edits: number, everyMs: number): Promise<number> {
  await page.locator("#section-cast-off button.placed", { hasText: "Wake" }).nth(1).click();
  for (let edit = 0; edit < edits; edit++) {
    const before = await page.evaluate(() => window.heard.takes);
    await page.keyboard.press(edit % 2 === 0 ? "ArrowRight" : "ArrowLeft");
    await page.waitForFunction((takes) => window.heard.takes > takes, before);
    if (everyMs > 0) await page.waitForTimeout(everyMs);
  }
  return edits;
}
