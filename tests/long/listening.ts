/**
 * npm run soak:page [-- MINUTES]
 * A real browser plays the demo in a loop of its own time, ten minutes unless said, with an edit every two seconds.
 * Prints how often it ran out of sound, and how the delay at the end differs from that at the start.
 */
import { launchChromium } from "../browser/chromium.ts";
import { editWhilePlaying, lastReport, listenIn, startPlaying } from "../browser/listening.ts";
import { serveFresh } from "../browser/served.ts";

export async function main([minutes = "10"]: readonly string[]): Promise<number> {
  const served = await serveFresh();
  const browser = await launchChromium();
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    await page.addInitScript(listenIn);
    await page.goto(served.link);
    await page.evaluate(() => document.getElementById("section-cast-off")?.scrollIntoView());
    await page.locator("#section-cast-off button.placed").first().waitFor();
    await page.keyboard.press("l");
    await startPlaying(page);
    const first = await lastReport(page);
    const seconds = Number(minutes) * 60;
    const edits = await editWhilePlaying(page, Math.round(seconds / 2), 2_000);
    const last = await lastReport(page);
    const played = (last.frame - first.frame) / 48_000;
    // How far the play lags behind the clock of the output: silence where sound was missing makes it more.
    const lag = (report: typeof first): number => (report.contextFrame - report.frame) / 48;
    console.log(`played ${played.toFixed(1)} s, ${edits} edits`);
    console.log(`ran out of sound ${last.underruns} times; goal 0 on an idle machine`);
    console.log(
      `delay at the end less delay at the start: ${(lag(last) - lag(first)).toFixed(2)} ms; goal 0`,
    );
    console.log(
      `sound in hand: ${(first.ahead / 48).toFixed(0)} ms at the start, ${(last.ahead / 48).toFixed(0)} ms at the end`,
    );
    return last.underruns === 0 ? 0 : 1;
  } finally {
    await browser.close();
    await served.close();
  }
}
