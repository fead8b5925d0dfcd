/**
 * How far MIDI that the page sends strays from the audio clock: ten minutes (or as many as are said) of playing in
 * Chromium, to a port that only notes what it is given, with an edit every two seconds. The routine has one tempo, so
 * every clock belongs to one frame of the play. When that frame came out is found afterwards, from what the audio
 * thread reported and from all the stamps that the browser gave, by medians of whole seconds. A message that is handed
 * over after its time is late by that.
 */
import type { Page } from "playwright-core";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DEMO } from "../../server/routine/demo.ts";
import { launchChromium } from "../browser/chromium.ts";
import { serveFolder } from "../browser/served.ts";

const PORT = `
  window.midiSent = [];
  window.stamps = [];
  const output = { name: "Notes", state: "connected", type: "output", send: (bytes, time) =>
    window.midiSent.push({ bytes: [...bytes], time, handed: performance.now() }) };
  const access = Object.assign(new EventTarget(), { outputs: new Map([["o", output]]), inputs: new Map() });
  Object.defineProperty(navigator, "requestMIDIAccess", { value: async () => access });
  const stamp = AudioContext.prototype.getOutputTimestamp;
  AudioContext.prototype.getOutputTimestamp = function () {
    const told = stamp.call(this);
    if (told.contextTime > 0.05) window.stamps.push([told.contextTime, told.performanceTime]);
    return told;
  };
  window.reports = [];
  window.AudioWorkletNode = class extends AudioWorkletNode {
    constructor(...all) {
      super(...all);
      this.port.addEventListener("message", ({ data }) =>
        window.reports.push([data.frame, data.contextFrame, data.underruns]));
    }
  };
  localStorage.setItem("countercut.midi-out", '"Notes"');
  localStorage.setItem("countercut.caution-seen", "true");
`;
const TEMPO = 97.3;
const RATE = 48_000;
/** Frames between clocks. */
const PERIOD = (RATE * 60) / TEMPO / 24;
const CLOCK = 0xf8;

interface Sent {
  readonly bytes: readonly number[];
  readonly time: number;
  readonly handed: number;
}

export async function main(words: readonly string[]): Promise<number> {
  const minutes = Number(words[0] ?? 10);
  const home = await mkdtemp(join(tmpdir(), "countercut-midi-"));
  const served = await serveFolder(join(home, "routines"), home, { Steady: steady() });
  const browser = await launchChromium();
  try {
    const page = await browser.newPage();
    await page.addInitScript(PORT);
    await page.goto(served.link);
    await playAndEdit(page, minutes);
    console.log(await figures(page));
    return 0;
  } finally {
    await browser.close();
    await served.close();
    await rm(home, { recursive: true });
  }
}

/** Sections of one tempo that last for longer than anyone measures. */
function steady(): string {
  const [beat] = DEMO.beats ?? [];
  const sections = Array.from({ length: 100 }, (_, index) => ({
    id: `mile-${index + 1}`,
    bars: 8,
    meter: "4/4",
    tempo: TEMPO,
    beat: beat?.id,
    placements: [{ pattern: "wake", bar: 1 }],
  }));
  return JSON.stringify({ ...DEMO, title: "Steady", sections });
}

/** Each edit changes what is sent while it plays. */
async function playAndEdit(page: Page, minutes: number): Promise<void> {
  await page.locator("#section-mile-1").waitFor();
  await page.getByRole("link", { name: "Export", exact: true }).click();
  const mapping = page.getByLabel("Mapping", { exact: true });
  await mapping.waitFor();
  await page.getByRole("button", { name: "Play", exact: true }).click();
  const until = Date.now() + minutes * 60_000;
  for (let turn = 0; Date.now() < until; turn++) {
    await page.waitForTimeout(2_000);
    if (turn % 3 === 2) await page.getByRole("button", { name: "Undo", exact: true }).click();
    else await mapping.selectOption({ label: turn % 3 === 0 ? "Controllers only" : "Everything" });
  }
  await page.getByRole("button", { name: "Stop", exact: true }).click();
}

async function figures(page: Page): Promise<string> {
  const { sent, stamps, reports } = await page.evaluate(() => {
    const { midiSent, ...rest } = window as unknown as { midiSent: Sent[] } & Seen;
    return { sent: midiSent, stamps: rest.stamps, reports: rest.reports };
  });
  const clocks = sent.filter(({ bytes }) => bytes[0] === CLOCK);
  const outAt = outputTimes({ stamps, reports });
  const off = clocks.map(({ time }, number) => time - outAt(number * PERIOD));
  const strays = off.map(Math.abs);
  const ahead = (of: readonly Sent[]): number[] => of.map(({ time, handed }) => time - handed);
  const lateToo = ahead(clocks).map((one, index) => (strays[index] as number) + Math.max(0, -one));
  const others = sent.filter(({ bytes }) => [0xfa, 0xfb, 0xfc].includes(bytes[0] as number)).length;
  const [early = 0, lately = 0] = [off.slice(0, 500), off.slice(-500)].map(
    (part) => sorted(part)[part.length >> 1],
  );
  /** Frames at which sound ran out: what was handed over before could not know of it, so half a second around it is left out. */
  const gaps = reports
    .filter(([, , count], index) => count > (reports[index - 1]?.[2] ?? 0))
    .map(([frame]) => frame);
  const sound = strays.filter((_, number) => gaps.every((gap) => Math.abs(gap - number * PERIOD) > RATE / 2));
  const late = sorted(ahead(sent).filter((one) => one < 0));
  const last = reports.at(-1);
  return [
    `${clocks.length} clocks in ${((last?.[0] ?? 0) / PERIOD / 24).toFixed(2)} quarters that were played; ${others} starts, continues and stops; sound ran out ${last?.[2]} times`,
    `clocks from their place on the audio clock: ${spread(strays)}; drift ${(lately - early).toFixed(3)} ms`,
    `those further than half a second from where sound ran out: ${sound.length} clocks, ${spread(sound)}`,
    `and what they were handed over late besides: ${spread(lateToo)}`,
    `${sent.length} messages, ${late.length} handed over late, the worst by ${(-(late[0] ?? 0)).toFixed(1)} ms`,
  ].join("\n");
}

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);

function spread(values: readonly number[]): string {
  const all = sorted(values);
  const at = (part: number): string => (all[Math.floor(part * (all.length - 1))] as number).toFixed(3);
  return `half within ${at(0.5)} ms, 99 in 100 within ${at(0.99)} ms, all within ${at(1)} ms`;
}

interface Seen {
  /** Seconds of the context, milliseconds of `performance.now()`. */
  readonly stamps: readonly (readonly [number, number])[];
  /** Frames of the play and of the context, and how often sound ran out so far. */
  readonly reports: readonly (readonly [number, number, number])[];
}

/** @returns milliseconds of `performance.now()` at which a frame of the play came out */
function outputTimes({ stamps, reports }: Seen): (frame: number) => number {
  const seconds = new Map<number, number[]>();
  for (const [context, time] of stamps) {
    const second = Math.floor(context);
    seconds.set(second, [...(seconds.get(second) ?? []), time - context * 1000]);
  }
  const known = [...seconds].map(([second, distances]) => ({
    at: second + 0.5,
    distance: sorted(distances)[distances.length >> 1] as number,
  }));
  let report = 0;
  let second = 0;
  return (frame) => {
    while (report < reports.length - 1 && (reports[report]?.[0] ?? 0) < frame) report++;
    const [played = 0, left = 0] = reports[report] ?? [];
    const context = (left - (played - frame)) / RATE;
    while (second < known.length - 1 && (known[second]?.at ?? 0) < context) second++;
    const [a, b] = [known[Math.max(0, second - 1)], known[second]];
    if (a === undefined || b === undefined) return Number.NaN;
    const part = a === b ? 0 : Math.min(1, (context - a.at) / (b.at - a.at));
    return context * 1000 + a.distance + part * (b.distance - a.distance);
  };
}
