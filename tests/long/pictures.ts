/**
 * node tests/run.mjs tests/long/pictures.ts [FOLDER]
 * Takes the pictures of the README from the running program: client/pictures/*.png.
 */
import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { launchChromium } from "../browser/chromium.ts";
import { serveFolder } from "../browser/served.ts";

interface Picture {
  readonly name: string;
  readonly hash: string;
  /** What must stand on the page before the picture is taken. */
  readonly shows: string;
  readonly theme: "dark" | "light";
  readonly size?: { readonly width: number; readonly height: number };
  readonly before?: (page: Page) => Promise<void>;
}

const WIDE = { width: 1280, height: 800 };

const PICTURES: readonly Picture[] = [
  {
    name: "routine",
    hash: "#/routine",
    shows: "#section-cast-off div.row",
    theme: "dark",
    // Where groups of five walk over the bar, with what is heard drawn under each row.
    before: async (page) => {
      await page.evaluate(() => document.getElementById("section-open-water")?.scrollIntoView());
      await page.locator("#section-open-water .heard path[d^=M]").first().waitFor({ state: "attached" });
    },
  },
  { name: "write", hash: "#/write/five-lamps", shows: ".write div.row", theme: "light" },
  { name: "rehearse", hash: "#/rehearse", shows: "main h2", theme: "dark" },
  { name: "export", hash: "#/export", shows: "main td", theme: "light" },
  {
    name: "phone",
    hash: "#/routine",
    shows: "#section-cast-off div.row",
    theme: "dark",
    size: { width: 390, height: 844 },
  },
];

async function take(page: Page, picture: Picture, folder: string): Promise<void> {
  const { name, hash, shows, theme, size, before } = picture;
  await page.setViewportSize(size ?? WIDE);
  await page.evaluate((to) => {
    location.hash = to;
    scrollTo(0, 0);
  }, hash);
  await page.evaluate((wanted) => {
    if (document.documentElement.dataset["theme"] !== wanted)
      [...document.querySelectorAll("button")]
        .find(({ textContent }) => /^(Dark|Light)$/.test(textContent ?? ""))
        ?.click();
  }, theme);
  await page.locator(shows).first().waitFor();
  await before?.(page);
  // Two frames: what was just put into the page is painted.
  await page.evaluate(
    () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))),
  );
  await page.screenshot({ path: join(folder, `${name}.png`) });
  console.log(join(folder, `${name}.png`));
}

export async function main([folder = "client/pictures"]: string[]): Promise<number> {
  const home = await mkdtemp(join(tmpdir(), "countercut-pictures-"));
  const served = await serveFolder(join(home, "routines"), home);
  const browser = await launchChromium();
  try {
    await mkdir(folder, { recursive: true });
    const page = await browser.newPage({ viewport: WIDE, reducedMotion: "reduce" });
    await page.goto(served.link);
    await page.locator("main div.row").first().waitFor();
    for (const picture of PICTURES) await take(page, picture, folder);
  } finally {
    await browser.close();
    await served.close();
    await rm(home, { recursive: true, force: true });
  }
  return 0;
}
