/**
 * node tests/run.mjs tests/long/microphone.ts [SECTION|whole] [SEED]
 * A robot plays the whole demo, or a section of it, into Chromium's microphone with known errors, over the beat and
 * noise at 20 and 10 dB: what the Recordings screen makes of it.
 */
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { launchChromium } from "../browser/chromium.ts";
import { asTaken, holdingMicrophone, microphoneFile, microphoneFlags, take } from "../browser/microphone.ts";
import { serveFresh } from "../browser/served.ts";
import { demoExpected, demoSeconds } from "../recordings/demo.ts";
import { judged } from "../recordings/judged.ts";
import { PLAIN, play } from "../recordings/robot.ts";

const LAG = 0.037;

export async function main([which = "whole", seed = "400"]: string[]): Promise<number> {
  const section = which === "whole" ? undefined : which;
  const expected = demoExpected(section);
  const home = await mkdtemp(join(tmpdir(), "countercut-microphone-"));
  const file = join(home, "microphone.wav");
  let failed = false;
  for (const [snr, least] of [
    [20, 0.95],
    [10, 0.85],
  ] as const) {
    const played = play(expected, {
      ...PLAIN,
      seed: Number(seed) + snr,
      lag: LAG,
      snr,
      beat: 0.5,
      hum: 25,
      leftOut: 0.05,
      added: 0.05,
    });
    await writeFile(file, microphoneFile(played));
    const served = await serveFresh();
    const browser = await launchChromium(microphoneFlags(file));
    try {
      const page = await browser.newPage();
      await page.addInitScript(() => localStorage.setItem("countercut.caution-seen", "true"));
      await holdingMicrophone(page);
      await page.goto(served.link);
      await page.getByRole("link", { name: "Recordings", exact: true }).click();
      const part = section === undefined ? "whole" : `section ${section}`;
      await page.locator(".recordings select").first().selectOption(part);
      const taken = await take(page, served.folder, played);
      const { allowedMs, result } = taken.recording;
      const { sounds, extra, lagMs } = result!;
      const heard = asTaken(taken, expected, played, LAG);
      const { within, f } = judged(
        expected.meant,
        heard.played,
        LAG,
        sounds.map(({ errorMs }) => errorMs),
        extra.map((one) => demoSeconds(section ?? "quay", one)),
        heard.spoilt,
      );
      const known = 1000 * heard.late - allowedMs;
      failed ||= within < 0.95 || f < least || Math.abs((lagMs ?? 0) - known) > 2;
      console.log(
        `${snr} dB: ${sounds.length} sounds, ${(100 * within).toFixed(1)} in 100 within 3 ms, F ${f.toFixed(3)}, lag ${lagMs?.toFixed(1)} of ${known.toFixed(1)} ms`,
      );
    } finally {
      await browser.close();
      await served.close();
    }
  }
  await rm(home, { recursive: true, force: true });
  return failed ? 1 : 0;
}
