/**
 * As a new user would: from an empty routine to 32 bars of three phrases that land, over a beat, with no error; by mouse,
 * then by keyboard alone; then typing while others edit, and fingers.
 */
import type { Locator, Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { openProgram } from "./opened.ts";

const { page, served, faults, soon, saved, go, press, finger } = await openProgram({ touch: true });

const section = async (name: string) => {
  await saved();
  return (await served.routine(name)).sections[0]!;
};
const title = () => page.getByRole("heading", { level: 1 }).innerText();
const phraseName = () => page.getByLabel("Name", { exact: true }).inputValue();
const lasts = { cycles: 8 };
/** Phrases of 6, 12 and 2 sixteenths: each fits its bars a whole number of times. */
const LANDED = [
  ...[1, 4, 7, 10].map((bar) => ({ pattern: "phrase-1", bar, lasts })),
  ...[13, 16, 19, 22].map((bar) => ({ pattern: "phrase-2", bar, lasts: { cycles: 4 } })),
  { pattern: "phrase-3", bar: 25 },
];

describe("from an empty routine to 32 bars of three phrases that land, over a beat", () => {
  it("by mouse", async () => {
    await page.getByRole("button", { name: "Routines", exact: true }).click();
    await page.getByLabel("A new one, called").fill("Mouse");
    await page.getByRole("button", { name: "Begin empty" }).click();
    await soon(title).toBe("Mouse");
    await page.getByRole("link", { name: "Write a phrase" }).click();
    await page.getByRole("button", { name: "Two under three" }).click();
    await soon(phraseName).toBe("Phrase 1");
    const begin = page.getByLabel("Begin something else");
    await begin.selectOption({ label: "Four under three" });
    await soon(phraseName).toBe("Phrase 2");
    await begin.selectOption({ label: "Open baby" });
    await soon(phraseName).toBe("Phrase 3");

    await page.getByRole("link", { name: "Routine", exact: true }).click();
    await page.getByRole("link", { name: "built-in beats" }).click();
    await page.getByRole("button", { name: "Take Plain plank" }).click();
    await page.getByRole("link", { name: "Routine", exact: true }).click();
    await page.getByLabel("Section 1 lasts").fill("32");
    await page.getByRole("button", { name: "Put a phrase in at bar 1" }).click();
    const put = (name: string) => page.getByRole("group", { name: "Put in" }).getByRole("button", { name });
    const chosen = page.getByLabel("What is chosen");
    const at = (bar: number) => soon(() => chosen.innerText()).toContain(`at Section 1, bar ${bar}, beat 1`);
    for (const [name, bars] of [
      ["Phrase 1", [4, 7, 10, 13]],
      ["Phrase 2", [16, 19, 22, 25]],
    ] as const) {
      await put(name).click();
      for (const bar of bars) {
        await at(bar);
        if (bar !== bars[3]) await chosen.getByRole("button", { name: "Repeat behind it" }).click();
      }
    }
    await put("Phrase 3").click();
    await at(26);
    await chosen.getByRole("button", { name: "Fill up to the next" }).click();
    await soon(async () => (await section("Mouse")).placements).toEqual(LANDED);
    expect(await section("Mouse")).toMatchObject({ bars: 32, beat: "plain-plank" });
    expect(await page.getByText("No problem in this routine.").count()).toBe(1);

    await page.getByRole("button", { name: "Play", exact: true }).click();
    await page.getByRole("button", { name: "Play, quietly" }).click();
    await soon(() => page.locator(".foot .place").innerText()).toContain("Bar 1");
    await page.getByRole("button", { name: "Stop", exact: true }).click();
  });

  it("by keyboard alone, by what the list of actions says", async () => {
    const act = async (words: string) => {
      await press("?");
      await page.getByLabel("Find an action").waitFor();
      await page.keyboard.type(words);
      await press("Enter");
    };
    await act("routines in this folder");
    for (let tab = 0; tab < 20; tab++) {
      if ((await page.evaluate(() => document.activeElement?.tagName)) === "INPUT") break;
      await press("Tab");
    }
    await page.keyboard.type("Keys");
    await press("Enter");
    await soon(title).toBe("Keys");
    await act("go to write");
    await page.getByRole("button", { name: "Two under three" }).waitFor();
    await press("1");
    await soon(phraseName).toBe("Phrase 1");
    await act("begin four");
    await soon(phraseName).toBe("Phrase 2");
    await act("begin open");
    await soon(phraseName).toBe("Phrase 3");
    await act("built-in");
    await page.getByRole("button", { name: "Take Plain plank" }).waitFor();
    await press("Enter");
    await act("go to routine");
    await page.getByLabel("First steps").waitFor();
    await act("change this section");
    await soon(() => page.evaluate(() => document.activeElement?.getAttribute("aria-label"))).toBe("Name");
    await press("Tab");
    await page.keyboard.type("32");
    await press("Enter", "Escape", "ArrowRight", "1", "r", "r", "r", "2", "r", "r", "r", "3", "u");
    await soon(async () => (await section("Keys")).placements).toEqual(LANDED);
    expect(await section("Keys")).toMatchObject({ bars: 32, beat: "plain-plank" });
    expect(await page.getByText("No problem in this routine.").count()).toBe(1);
  });
});

describe("typing", () => {
  it("stays while what others did arrives and is saved; their change of the same field waits", async () => {
    const other: Page = await page.context().newPage();
    await other.goto(page.url());
    const theirs = other.locator("#section-section-1");
    await theirs.getByRole("button", { name: "Change" }).click();
    await page.bringToFront();
    const mine = page.locator("#section-section-1");
    const tempo = mine.getByLabel("Tempo", { exact: true });
    const name = mine.getByLabel("Name", { exact: true });
    await name.fill("");
    let typed = "";
    for (const [index, letter] of [..."Dusk"].entries()) {
      typed += letter;
      await page.keyboard.type(letter);
      const field = theirs.getByLabel(index === 2 ? "Name" : "Tempo", { exact: true });
      const value = index === 2 ? "Theirs" : `${93 + index}`;
      await field.fill(value);
      await field.press("Enter");
      if (index === 2) await soon(() => mine.locator("h2").innerText()).toBe("Theirs");
      else await soon(() => tempo.inputValue()).toBe(value);
      await saved();
      expect(await name.inputValue()).toBe(typed);
    }
    await press("Enter");
    await soon(async () => (await section("Keys")).name).toBe("Dusk");
    await name.fill("Away with it");
    await press("Escape");
    expect(await name.inputValue()).toBe("Dusk");
    await mine.getByRole("button", { name: "Change" }).click();
    await other.close();
  });
});

describe("fingers", () => {
  const middle = async (of: Locator) => {
    await of.scrollIntoViewIfNeeded();
    const box = (await of.boundingBox())!;
    return { x: box.x + Math.min(box.width, 60) / 2, y: box.y + box.height / 2 };
  };
  const swipe = async (from: { x: number; y: number }, right: number, down: number) => {
    await finger.down(from);
    for (let part = 1; part <= 8; part++)
      await finger.to({ x: from.x + (right * part) / 8, y: from.y + (down * part) / 8 });
    await finger.up();
  };
  const scrolled = () => page.evaluate(() => scrollY);
  /** A sixteenth of a bar row, pixels. */
  const sixteenth = async (of: string) => (await page.locator(of).first().boundingBox())!.width / 16;

  for (const [screen, width, height] of [
    ["a phone", 390, 844],
    ["a tablet", 1280, 800],
  ] as const)
    it(`on ${screen}: put in, move and stretch; a swipe over the names scrolls and moves nothing`, async () => {
      await page.setViewportSize({ width, height });
      await page.locator("#content").focus();
      await press("Control+a", "Delete", "Escape", "Escape");
      await soon(async () => (await section("Keys")).placements).toEqual([]);
      await page.evaluate(() => scrollTo(0, 0));
      const second = page.locator('#section-section-1 svg[aria-label^="Bar 2."]');
      const step = await sixteenth("#section-section-1 .row svg[role=img]");
      await second.tap({ position: { x: 4.5 * step, y: 70 } });
      await page.getByLabel("The spot").getByRole("button", { name: "Phrase 3" }).tap();
      await soon(async () => (await section("Keys")).placements).toEqual([
        { pattern: "phrase-3", bar: 2, at: "1/4", lasts },
      ]);
      const placed = page.locator("button.placed", { hasText: "Phrase 3" });
      await swipe(await middle(placed), 2 * step, 0);
      await soon(async () => (await section("Keys")).placements).toEqual([
        { pattern: "phrase-3", bar: 2, at: "3/8", lasts },
      ]);
      await swipe(await middle(page.locator(".stretch")), 2 * step, 0);
      await soon(async () => (await section("Keys")).placements).toEqual([
        { pattern: "phrase-3", bar: 2, at: "3/8", lasts: { cycles: 9 } },
      ]);
      await page.getByLabel("What is chosen").getByRole("button", { name: "Close" }).tap();
      const from = await middle(placed);
      const before = await scrolled();
      await swipe(from, 8, -200);
      await soon(scrolled).toBeGreaterThan(before + 100);
      expect((await section("Keys")).placements).toEqual([
        { pattern: "phrase-3", bar: 2, at: "3/8", lasts: { cycles: 9 } },
      ]);
      expect(await page.getByLabel("What is chosen").count()).toBe(0);
      await placed.tap();
      await page.getByLabel("What is chosen").waitFor();
      await page.getByLabel("What is chosen").getByRole("button", { name: "Close" }).tap();
      await page.getByRole("button", { name: "Play", exact: true }).tap();
      await soon(() => page.locator(".foot .place").innerText()).toMatch(/beat [2-4]/);
      await page.getByRole("button", { name: "Stop", exact: true }).tap();
    });

  it("on a phone: what is laid low on the screen is seen over its panel, and the panel over the foot", async () => {
    await page.setViewportSize({ width: 390, height: 844 });
    await go("#/routine");
    await page.locator("#content").focus();
    await press("Control+a", "Delete", "Escape", "Escape");
    const row = page.locator('#section-section-1 svg[aria-label^="Bar 9."]');
    await page.locator("#section-section-1").evaluate((part) => part.scrollIntoView({ block: "start" }));
    await row.evaluate((bar) => bar.scrollIntoView({ block: "end" }));
    const edges = (of: Locator) =>
      of.evaluate((one) => {
        const { top, bottom } = one.getBoundingClientRect();
        return { top, bottom };
      });
    /** Pixels that are in sight: over a row from the head, under it to the panel, and from that to the foot. */
    const room = async (of: Locator, panel: Locator) => {
      const [bar, over, head, foot] = await Promise.all(
        [of, panel, page.locator(".head"), page.locator(".foot")].map(edges),
      );
      return Math.min(bar!.top - head!.bottom, over!.top - bar!.bottom, foot!.top - over!.bottom);
    };
    await row.tap({ position: { x: 40, y: 50 } });
    await soon(() => room(row, page.getByLabel("The spot"))).toBeGreaterThanOrEqual(-1);
    await page.getByLabel("The spot").getByRole("button", { name: "Phrase 3" }).tap();
    await page.getByLabel("What is chosen").waitFor();
    await soon(() => room(row, page.getByLabel("What is chosen"))).toBeGreaterThanOrEqual(-1);
    await page.getByLabel("What is chosen").getByRole("button", { name: "Close" }).tap();
  });

  it("write: a stroke is drawn longer by its grip, a hit put in by a tap; a swipe scrolls", async () => {
    await go("#/write/phrase-2");
    const record = () => page.getByLabel("Record hand", { exact: true }).inputValue();
    await soon(record).toBe("forward, forward, back, back");
    const bar = page.locator(".write div.row svg[role=img]").first();
    const step = await sixteenth(".write div.row svg[role=img]");
    const box = (await bar.boundingBox())!;
    await page.touchscreen.tap(box.x + 2.5 * step, box.y + 48);
    await soon(() => page.getByLabel("The stroke or cell in hand").innerText()).toContain("3 of 4");
    await swipe(await middle(page.locator(".grip.length")), step, 0);
    await soon(record).toBe("forward, forward, back 2 steps, back");
    const fader = () => page.getByLabel("Fader hand", { exact: true }).inputValue();
    await soon(fader).toBe("click, open, closed");
    const shown = (await bar.boundingBox())!;
    await page.touchscreen.tap(shown.x + 1.5 * step, shown.y + 75);
    await soon(() => page.getByLabel("The stroke or cell in hand").innerText()).toContain("2 of 3");
    await swipe(await middle(page.locator(".grip.length")), step, 0);
    await soon(fader).toBe("click, open 2 steps, closed");
    const before = await scrolled();
    await swipe(await middle(bar), 4, -200);
    await soon(scrolled).toBeGreaterThan(before + 100);
    expect(await record()).toBe("forward, forward, back 2 steps, back");

    await go("#/write/beat%20plain-plank");
    const drum = () => page.getByLabel("Bass drum (36), at steps").inputValue();
    const hits = page.locator(".beat-row svg").first();
    await hits.waitFor();
    const was = await drum();
    const lane = await sixteenth(".beat-row svg");
    await swipe({ x: (await middle(hits)).x + 4 * lane, y: (await middle(hits)).y }, 0, -120);
    await hits.tap({ position: { x: lane + 2, y: 12 } });
    await soon(drum).toBe(was.replace(/^(1\S*) /, "$1 2 "));
  });

  it("left no error in the browser", () => {
    expect(faults).toEqual([]);
  });
});
