/** Arranging with real clicks and keys: moving, joins, filling, paper, my phrases. */
import { execFileSync } from "node:child_process";
import { readFile } from "node:fs/promises";
import { unzipSync } from "fflate";
import { describe, expect, it } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { openProgram } from "./opened.ts";

const LANDED = [
  { pattern: "wake", bar: 1, lasts: { cycles: 16 } },
  { pattern: "five-lamps", bar: 13, lasts: { cycles: 16 } },
  { pattern: "home", bar: 23, lasts: { cycles: 40 } },
];
/** Three phrases that land, and a beat. */
const BARE: Routine = {
  ...DEMO,
  title: "Bare",
  patterns: DEMO.patterns.filter(({ id }) => ["wake", "five-lamps", "home"].includes(id)),
  beats: DEMO.beats.filter(({ id }) => id === "engine-room"),
  sections: [
    { id: "all", name: "All", bars: 32, meter: "4/4", tempo: 92, beat: "engine-room", placements: LANDED },
  ],
};

const { page, served, faults, soon, saved, go, press, clean, fits } = await openProgram({
  files: { Bare: writeRoutine(BARE) },
});

const onDisk = async (name = "Bare") => {
  await saved();
  return served.routine(name);
};
const placements = async (name = "Bare") => (await onDisk(name)).sections[0]!.placements;
/** A click at a part of a bar row, over the fader's track where no name is. Rows far away are not drawn yet. */
const clickRow = async (row: number, part: number, down = 70) => {
  const rows = page.locator("#section-all .section-rows");
  const at = await rows.evaluate((element, index) => {
    const height = element.querySelector<HTMLElement>("div.row")?.offsetHeight ?? 114;
    const top = element.getBoundingClientRect().top + scrollY + index * height;
    scrollTo({ top: top - 250, behavior: "instant" });
    const box = element.getBoundingClientRect();
    return { left: box.left, width: box.width, top: box.top + index * height };
  }, row);
  await page.mouse.click(at.left + 44 + (at.width - 48) * part, at.top + down);
};
const bring = (name: string, text: string) =>
  page
    .locator("input[type=file]")
    .setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(text) });

describe("arranging", () => {
  it("lets a phrase go on in whole repeats, faster than a disk, and undoes it", async () => {
    await page.locator("#content").focus();
    await press("n", "Control+ArrowUp", "Control+ArrowUp", "Control+ArrowUp");
    await soon(placements).toEqual([{ pattern: "wake", bar: 1, lasts: { cycles: 12 } }, ...LANDED.slice(1)]);
    await page.getByRole("button", { name: "Fill up, whole repeats only" }).click();
    await soon(placements).toEqual(LANDED);
  });

  it("keeps each of two values that are changed faster than a disk", async () => {
    await page.locator("#content").focus();
    await press("Escape", "Escape", "n", "e");
    const panel = page.getByLabel("What is chosen");
    const still = served.standStill(300);
    await panel.getByLabel("Record starts at stroke").fill("2");
    await press("Enter");
    await panel.getByLabel("Fader starts at cell").fill("3");
    await press("Enter");
    await still;
    await soon(placements).toEqual([{ ...LANDED[0], recordFrom: 1, faderFrom: 2 }, ...LANDED.slice(1)]);
    await page.locator("#content").focus();
    await press("e", "Control+z", "Control+z");
    await soon(placements).toEqual(LANDED);
  });

  it("moves several as one step, and asks where they run into their neighbour", async () => {
    await page.locator("#content").focus();
    await press("Escape", "Escape", "n", "Control+ArrowRight");
    await soon(() => page.getByLabel("What is chosen").innerText()).toContain("2 chosen");
    await press("ArrowRight");
    await page
      .getByRole("button", { name: "Shorten Home to start where what was moved ends" })
      .press("Escape");
    await soon(placements).toEqual(LANDED);
    await press("Shift+ArrowLeft", "ArrowRight");
    await soon(async () => (await placements()).slice(0, 2)).toEqual([
      { pattern: "wake", bar: 1, at: "1/16", lasts: { steps: 191 } },
      { pattern: "five-lamps", bar: 13, at: "1/16", lasts: { steps: 159 } },
    ]);
    await press("Control+z", "Control+z");
    await soon(placements).toEqual(LANDED);
  });

  it("shows at its place what an error keeps from being heard, and lets it be mended there", async () => {
    await press("Escape", "Escape", "n", "n", "ArrowUp");
    await page.getByRole("button", { name: "Leave both" }).click();
    const unheard = page.getByRole("button", { name: "Five lamps: not heard, see its problem" });
    await unheard.waitFor();
    await page.locator("#content").focus();
    await press("Escape", "Escape");
    await unheard.click();
    const panel = page.getByLabel("What is chosen");
    await soon(() => panel.innerText()).toContain("All, bar 12: two phrases for one pair of hands.");
    await page.locator("#content").focus();
    await press("ArrowDown");
    await soon(placements).toEqual(LANDED);
    expect(await unheard.count()).toBe(0);
  });

  it("takes a second player's hands: tracks of their own, heard together, chosen by a click on them", async () => {
    await press("Escape", "Escape", "Escape", "ArrowRight");
    const spot = page.getByLabel("The spot");
    await spot.getByLabel("Player").fill("2");
    await press("Tab");
    await spot.getByRole("button", { name: "Home" }).click();
    const first = page.locator('#section-all svg[aria-label^="Bar 1."]');
    await soon(() => first.getAttribute("aria-label")).toMatch(
      /^Bar 1\. Player 1: Wake from 1\. Player 2: Home from 1\. Heard: forward at 1, forward at 1,/,
    );
    expect(await page.getByLabel("What is chosen").innerText()).toContain("player 2");
    await page.locator("#content").focus();
    await press("Escape", "Escape");
    // Over the tracks of the second player, in the second bar, where only the first has something.
    await clickRow(1, 0.5, 160);
    await soon(() => spot.getByLabel("Player").inputValue()).toBe("2");
    await page.locator("#content").focus();
    await press("Escape", "Control+z");
    await soon(() => first.getAttribute("aria-label")).not.toContain("Player");
    await saved();
  });

  it("says between two placements that the hand cannot get there, and takes a mend there", async () => {
    await press("Escape", "Escape", "n", "n");
    await soon(() => page.getByLabel("What is chosen").innerText()).toContain("Five lamps");
    await page.getByRole("button", { name: "All values" }).click();
    await page.getByLabel("Record at, degrees or cue").fill("170");
    await press("Enter", "Escape", "Escape");
    const mark = page.getByRole("button", { name: /^Join, Wake to Five lamps/ });
    await soon(() => mark.innerText()).toBe("beyond your limits");
    // By its key it is brought into sight, wherever the page was.
    await press("n", "n");
    await page.evaluate(() => scrollTo({ top: 0, behavior: "instant" }));
    await press("j");
    await soon(async () => Math.abs(((await mark.boundingBox())?.y ?? 9_999) - 400) < 340).toBe(true);
    const mends = page.locator(".join-text").getByRole("group", { name: "To reach it" });
    await soon(() => mends.getByRole("button").count()).toBeGreaterThan(1);
    // It is heard from the bar before, and goes on while what would mend it is pointed at.
    const hear = page.locator(".join-text").getByRole("button", { name: "Hear it" });
    const place = () => page.locator(".foot .place").innerText();
    await hear.click();
    // The caution comes once, elsewhere on the page.
    await page.getByRole("button", { name: "Play, quietly" }).click();
    await mark.click();
    await hear.click();
    const five = ((await placements()) as { pattern?: string; bar: number }[]).find(
      ({ pattern }) => pattern === "five-lamps",
    )!;
    await soon(place).toMatch(new RegExp(`Bar ${five.bar - 1}\\b`));
    // Shown as a draft while it has the focus.
    await mends.getByRole("button").first().focus();
    await soon(() => mark.innerText()).not.toBe("beyond your limits");
    await clean();
    await mends.getByRole("button").first().click();
    await soon(() => mark.innerText()).not.toBe("beyond your limits");
    await press("Escape");
    await soon(() => page.locator(".join-text").count()).toBe(0);
    await page.locator("#content").focus();
    expect(await place()).not.toContain("Stopped");
    await press("Space");
    await soon(place).toContain("Stopped");
    await press("Control+z", "Control+z");
    await soon(placements).toEqual(LANDED);
  });

  it("leads from a warning to its place", async () => {
    const limit = page.getByLabel("Time limit, seconds (0: none)");
    await limit.fill("10");
    await press("Enter", "Escape");
    await page.locator(".problems summary").click();
    await page.getByRole("button", { name: /over its time limit/ }).click();
    await soon(() => limit.evaluate((field) => field === document.activeElement)).toBe(true);
    await limit.fill("0");
    await press("Enter");
    await soon(() => page.getByText("No problem in this routine.").count()).toBe(1);
  });

  it("copies, pastes at the spot, cuts in two where both hands begin, and puts in words", async () => {
    await page.locator("#content").focus();
    await press("Control+a", "Delete", "Escape", "Escape", "ArrowRight", "1");
    await soon(async () => (await placements()).length).toBe(1);
    const [first] = await placements();
    await press("Control+c", "Escape", "Control+v");
    await soon(placements).toEqual([first, { ...first, bar: 4 }]);
    await press("Escape", "ArrowUp", "ArrowUp", "ArrowUp", "ArrowRight");
    // Wake's record hand is inside its first stroke there.
    await press("x");
    expect(await placements()).toHaveLength(2);
    for (let step = 0; step < 11; step++) await press("ArrowRight");
    await press("x");
    await soon(placements).toEqual([
      first,
      { pattern: "wake", bar: 4, lasts: { cycles: 1 } },
      { pattern: "wake", bar: 4, at: "3/4", lasts: { cycles: 3 }, carriesOn: true },
    ]);
    await press("n", "n", "n", "n", "Escape");
    await clickRow(10, 0.001);
    await press("w");
    await page.getByLabel("Words for the hands").fill("Step back");
    await press("Enter");
    await soon(async () => (await placements()).at(-1)).toEqual({
      words: "Step back",
      bar: 11,
      lasts: { bars: 1 },
    });
  });
});

describe("filling a gap", () => {
  it("offers the best ways first, lets one be heard as a draft, and takes it as one step", async () => {
    await clickRow(7, 0.5);
    await page.locator("#content").focus();
    await press("g");
    await soon(() => page.evaluate(() => document.activeElement?.id)).toBe("landing");
    const ways = page.locator(".ways li");
    const [best, way] = [ways.first(), { pattern: "home", bar: 7, lasts: { cycles: 16 }, carriesOn: true }];
    await soon(() => best.innerText()).toContain("Home, 16 times");
    expect(await page.getByLabel("The spot").locator("p").first().innerText()).toMatch(/ways to fill it/);
    const before = await placements();
    // At the end of the page nothing is half under the panel.
    await page.evaluate(() => scrollTo({ top: document.body.scrollHeight, behavior: "instant" }));
    await clean();
    const drawn = page.locator("button.placed", { hasText: "Home" });
    await best.getByRole("button", { name: "Try" }).click();
    await soon(() => page.locator(".foot .place").innerText()).toContain("Bar 7");
    await soon(() => drawn.count()).toBe(1);
    expect(await placements()).toEqual(before);
    await page.getByRole("button", { name: "Stop", exact: true }).click();
    await page.getByRole("button", { name: "As it was" }).click();
    await soon(() => drawn.count()).toBe(0);
    await best.getByRole("button", { name: "Take" }).click();
    await soon(placements).toEqual([...before, way]);
    expect(await page.locator(".problems .trouble").count()).toBe(0);
    await soon(() => page.getByLabel("What is chosen").innerText()).toContain("landing: it lands");
    await page.locator("#content").focus();
    await press("Control+z");
    await soon(placements).toEqual(before);
  });
});

describe("paper", () => {
  it("prints a section with counts and repeats, and breaks pages between rows only", async () => {
    await go("#/routine/paper%20section%20all");
    await page.locator(".paper .repeats").waitFor();
    expect(await page.locator(".paper").innerText()).toContain("Record: right hand, turntable on the left.");
    // Beside the tracks and in the plan stands which hand it is: mirrored with the set-up.
    const hands = () => page.locator(".paper .hand-word").allInnerTexts();
    const mixer = async () => (await page.locator(".plan rect").last().boundingBox())!.x;
    const table = async () => (await page.locator(".plan circle").boundingBox())!.x;
    await soon(async () => (await hands()).slice(0, 2)).toEqual(["right", "left"]);
    expect(await mixer()).toBeGreaterThan(await table());
    await page.getByLabel("for the other-handed set-up").check();
    expect((await hands()).slice(0, 2)).toEqual(["left", "right"]);
    expect(await mixer()).toBeLessThan(await table());
    expect(await page.locator(".paper").innerText()).toContain("Record: left hand, turntable on the right.");
    await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    await soon(() => page.locator(".paper div.row").count()).toBe(32);
    const input = await page.pdf({ format: "A4" });
    await page.evaluate(() => dispatchEvent(new Event("afterprint")));
    // Poppler's layout of each page: a bar's number, and the counts under it, stand on the same page.
    const pages = execFileSync("pdftotext", ["-layout", "-", "-"], { input, encoding: "utf8" }).split("\f");
    const counts = pages.map((text) => text.match(/^\s*1\s+2\s+3\s+4\s*$/gm)?.length ?? 0);
    expect(counts.reduce((sum, count) => sum + count, 0)).toBe(32);
    // Neither a row nor the table of repeats stands alone on a page.
    expect(counts.filter((count) => count === 1)).toEqual([]);
    const last = pages.findIndex((text) => text.includes("Comes round after"));
    expect(counts[last]).toBeGreaterThanOrEqual(2);
  });
});

describe("my phrases", () => {
  it("are kept with labels, found, and put into another routine as one edit; a file carries one", async () => {
    await go("#/routine/my%20phrases");
    const own = page.locator(".things li", { hasText: "Five lamps" });
    await own.last().getByRole("button", { name: "Keep in my phrases" }).click();
    await page.getByLabel("Labels of Five lamps").fill("quick, for endings");
    await press("Enter");
    await soon(() => page.locator("[role=search] option").allInnerTexts()).toEqual([
      "any",
      "for endings",
      "quick",
    ]);
    await page.getByLabel("Search").fill("endings nothing");
    expect(await page.getByText("0 found").count()).toBe(1);
    await page.getByLabel("Search").fill("endings");
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.locator(".things li").first().getByRole("button", { name: "Save as a file" }).click(),
    ]);
    const text = await readFile((await file.path())!, "utf8");
    expect(JSON.parse(text).phrases).toMatchObject([
      { name: "Five lamps", labels: ["quick", "for endings"] },
    ]);
    // Another of that name comes in under an id of its own.
    await bring(
      "one.phrases.json",
      text.replace(/"move": "back"/, '"move": "hold"').replace(/,\s*"travel": 75\s*\}\s*\]/, " } ]"),
    );
    await soon(async () => (await onDisk()).patterns.map(({ id }) => id)).toContain("five-lamps-2");
    expect(await page.getByText("was brought: Five lamps").count()).toBe(1);
  });

  it("a packed routine comes back when its file is dropped", async () => {
    const [zip] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Pack this routine with its sounds" }).click(),
    ]);
    const bytes = await readFile((await zip.path())!);
    expect(Object.keys(unzipSync(bytes))).toEqual(["Bare.routine.json"]);
    await page.evaluate(
      (content) => {
        const data = new DataTransfer();
        data.items.add(new File([new Uint8Array(content)], "Bare.zip", { type: "application/zip" }));
        document.body.dispatchEvent(
          new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }),
        );
      },
      [...bytes],
    );
    await soon(() => page.getByRole("status").allInnerTexts()).toContainEqual(
      expect.stringContaining("Bare (brought) was brought, and is open."),
    );
  });
});

describe("for everybody", () => {
  it("the routine does not scroll sideways on a phone", async () => {
    await go("#/routine");
    await page.locator("main .row").first().waitFor();
    await fits();
  });
  for (const [name, hash] of [
    ["paper", "#/routine/paper"],
    ["my phrases", "#/routine/my%20phrases"],
  ] as const) {
    it(`axe finds nothing in either theme, and nothing scrolls sideways on a phone: ${name}`, async () => {
      await go(hash);
      await page.locator("main .row, main .things li").first().waitFor();
      await clean();
      await fits();
    });
  }

  it("left no error in the browser", () => {
    expect(faults).toEqual([]);
  });
});
