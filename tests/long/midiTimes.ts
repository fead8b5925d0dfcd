/**
 * How far MIDI Clock that the page sends strays from the audio clock: ten minutes (or as many as are said) of playing
 * in Chromium, again from the start at each end, to a port that only notes what it is given, with an edit every two seconds. Each time that is
 * sent is held against a straight line through those of its ten seconds, since a clock of constant tempo is one.
 */
import { launchChromium } from "../browser/chromium.ts";
import { serveFresh } from "../browser/served.ts";

const PORT = `
  window.midiSent = [];
  const output = { name: "Notes", state: "connected", type: "output",
    send: (bytes, time) => { if (bytes[0] >= 0xf8) window.midiSent.push(bytes[0], time); } };
  const access = Object.assign(new EventTarget(), { outputs: new Map([["o", output]]), inputs: new Map() });
  Object.defineProperty(navigator, "requestMIDIAccess", { value: async () => access });
  localStorage.setItem("countercut.midi-out", '"Notes"');
  localStorage.setItem("countercut.caution-seen", "true");
`;
const CLOCK = 0xf8;
/** Clocks of one line: ten seconds or so. */
const LINE = 360;

export async function main(words: readonly string[]): Promise<number> {
  const minutes = Number(words[0] ?? 10);
  const served = await serveFresh();
  const browser = await launchChromium();
  try {
    const page = await browser.newPage();
    await page.addInitScript(PORT);
    await page.goto(served.link);
    await page.locator("#section-quay").waitFor();
    await page.getByRole("link", { name: "Export", exact: true }).click();
    const mapping = page.getByLabel("Mapping", { exact: true });
    const play = page.getByRole("button", { name: "Play", exact: true });
    const until = Date.now() + minutes * 60_000;
    for (let turn = 0; Date.now() < until; turn++) {
      if (await play.isVisible()) await play.click();
      await page.waitForTimeout(2_000);
      await mapping.selectOption({ label: turn % 2 === 0 ? "Controllers only" : "Everything" });
    }
    const sent = await page.evaluate(() => (window as unknown as { midiSent: number[] }).midiSent);
    console.log(report(sent));
    return 0;
  } finally {
    await browser.close();
    await served.close();
  }
}

/** Distances in milliseconds from straight lines; a stop begins a new one. */
function report(sent: readonly number[]): string {
  const lines: number[][] = [[]];
  for (let at = 0; at < sent.length; at += 2) {
    if (sent[at] !== CLOCK || (lines.at(-1)?.length ?? 0) >= LINE) lines.push([]);
    if (sent[at] === CLOCK) lines.at(-1)?.push(sent[at + 1] as number);
  }
  const off: number[] = [];
  for (const times of lines.filter((line) => line.length > 24)) {
    const middle = (times.length - 1) / 2;
    const mean = times.reduce((sum, time) => sum + time, 0) / times.length;
    let [across, along] = [0, 0];
    for (const [number, time] of times.entries()) {
      across += (number - middle) * (time - mean);
      along += (number - middle) ** 2;
    }
    for (const [number, time] of times.entries())
      off.push(Math.abs(time - mean - ((number - middle) * across) / along));
  }
  off.sort((a, b) => a - b);
  const at = (part: number): string => (off[Math.floor(part * (off.length - 1))] ?? Number.NaN).toFixed(3);
  return `${off.length} clocks: half within ${at(0.5)} ms, 99 in 100 within ${at(0.99)} ms, all within ${at(1)} ms`;
}
