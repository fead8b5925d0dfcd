/**
 * node tests/run.mjs tests/long/compose.ts [FOLDER]
 * Composes the second example in the page, from an empty routine, by clicks and keys alone: a phrase found by search,
 * the others written, a tape made from a drawn beat, sections arranged, a gap filled so that it lands, a join mended; a
 * player who gets better rehearses it; then clips and paper. Says how long each part took, and fails where the file that
 * comes of it is another than the example. What was taken away is left in FOLDER, if one is named.
 */
import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { unzipSync } from "fflate";
import { launchChromium } from "../browser/chromium.ts";
import { serveFolder } from "../browser/served.ts";
import { DRILL } from "../../schemas/drill.ts";
import { ATTIC_WALTZ } from "../../server/routine/atticWaltz.ts";
import { openedBy } from "./compose/hand.ts";
import { arrange } from "./compose/arrange.ts";
import { byNames, differences } from "./compose/byNames.ts";
import { rehearse } from "./compose/rehearse.ts";
import { tape, writeBeat, writePhrases } from "./compose/write.ts";

/** A round that is over soon, so that a climb can be seen within a minute, and time to say how it was. */
const QUICK = {
  ...DRILL,
  countIn: { count: 1, by: "beat" },
  rest: 4,
  joinBars: 1,
  climb: { ...DRILL.climb, start: 150, ceiling: 200, upAfter: 1, upBy: 25, downAfter: 1, downBy: 10 },
};

export async function main([folder]: string[]): Promise<number> {
  const home = await mkdtemp(join(tmpdir(), "countercut-compose-"));
  const served = await serveFolder(join(home, "routines"), home);
  const browser = await launchChromium();
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, acceptDownloads: true });
    await page.addInitScript((drill) => {
      localStorage.setItem("countercut.caution-seen", "true");
      localStorage.setItem("countercut.drill", drill);
    }, JSON.stringify(QUICK));
    const hand = openedBy(page);
    await page.goto(served.link);
    const { title } = ATTIC_WALTZ;
    try {
      await hand.part("begin", async () => {
        await page.getByRole("button", { name: "Routines", exact: true }).click();
        await page.getByLabel("A new one, called").fill(title);
        await page.getByRole("button", { name: "Begin empty" }).click();
        await page.getByRole("heading", { level: 1, name: title }).waitFor();
      });
      await hand.part("draw the beat", () => writeBeat(hand, ATTIC_WALTZ));
      await hand.part("make the tape", () => tape(hand, ATTIC_WALTZ, home));
      await hand.part("find and write phrases", () => writePhrases(hand, ATTIC_WALTZ));
      await hand.part("arrange", () => arrange(hand, ATTIC_WALTZ));
      await page.locator(".saved", { hasText: /^Saved$/ }).waitFor();
      const composed = await served.routine(title);
      const other = differences(byNames(composed), byNames(ATTIC_WALTZ));
      console.log(
        ["The file against the example:", ...(other.length === 0 ? ["the same"] : other)].join("\n  "),
      );
      await hand.part("rehearse", () => rehearse(hand));
      const zip = await hand.part("take the clips", async () => {
        await hand.go("Export");
        return hand.taken(() => page.getByRole("button", { name: "Download all as a zip" }).click());
      });
      const files = Object.keys(unzipSync(await readFile(zip)));
      console.log(`${files.length} files in the zip`);
      const paper = await hand.part("print", async () => {
        await hand.go("Routine");
        await page.getByRole("link", { name: "Paper", exact: true }).first().click();
        await page.getByRole("button", { name: "Print" }).waitFor();
        return page.pdf({ format: "A4" });
      });
      console.log(`${paper.length} bytes of paper`);
      if (folder !== undefined) {
        await mkdir(folder, { recursive: true });
        await writeFile(join(folder, `${title}.routine.json`), JSON.stringify(composed, null, 2));
        await writeFile(join(folder, `${title}.zip`), await readFile(zip));
        await writeFile(join(folder, `${title}.pdf`), paper);
      }
      return other.length === 0 && files.length > 0 && hand.faults.length === 0 ? 0 : 1;
    } catch (error) {
      const picture = join(tmpdir(), "countercut-compose.png");
      await page.screenshot({ path: picture });
      console.error(`It got stuck; the page as it was: ${picture}`);
      throw error;
    }
  } finally {
    await browser.close();
    await served.close();
    await rm(home, { recursive: true, force: true });
  }
}
