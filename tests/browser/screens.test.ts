/** The screens with real clicks and keys, in one Chromium, on the built program. */
import { readFile } from "node:fs/promises";
import { describe, expect, it } from "vitest";
import { openProgram } from "./opened.ts";

const sent: string[] = [];
const { page, served, faults, soon, saved, clean, fits } = await openProgram({
  async before(page) {
    page.on("websocket", (socket) => socket.on("framesent", ({ payload }) => sent.push(String(payload))));
    await page.addInitScript(() => {
      const redrawn: number[] = [];
      Object.assign(window, { redrawn });
      new MutationObserver((changes) => {
        const rows = changes.filter(
          ({ target }) => target instanceof Element && target.closest("div.row") !== null,
        );
        redrawn.push(...rows.map(() => performance.now()));
      }).observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
    });
  },
});

const screen = (name: string) => page.getByRole("link", { name, exact: true }).click();
const show = (id: string) =>
  page.evaluate((section) => document.getElementById(`section-${section}`)?.scrollIntoView(), id);
const placed = (section: string, name: string, which = 0) =>
  page.locator(`#section-${section} button.placed`, { hasText: name }).nth(which);
const castOff = async () => (await served.routine()).sections.find(({ id }) => id === "cast-off")!;

describe("the routine's screen", () => {
  it("shows the demo, and the token is gone from the address", async () => {
    expect(page.url()).not.toContain("t=");
    expect(await page.getByRole("heading", { level: 1 }).innerText()).toBe("Night Ferry");
    expect(await page.locator(".part").count()).toBe(8);
  });

  it("draws for nothing what an edit would draw: no row comes out otherwise, and the server is asked nothing", async () => {
    const times = () =>
      page.evaluate(() => performance.getEntriesByName("drawn for nothing").map((one) => one.startTime));
    await soon(async () => (await times()).length).toBe(12);
    const [first = 0] = await times();
    const redrawn = () => page.evaluate(() => (window as unknown as { redrawn: readonly number[] }).redrawn);
    expect((await redrawn()).filter((at) => at >= first)).toEqual([]);
    const types = sent.map((text) => JSON.parse(text).type);
    expect(types).toContain("open");
    expect(types.filter((type) => type === "edit" || type === "draft")).toEqual([]);
    await page.evaluate(() => document.querySelector("div.row")?.setAttribute("title", "seen by the test"));
    expect((await redrawn()).length).toBeGreaterThan(0);
    await page.evaluate(() => document.querySelector("div.row")?.removeAttribute("title"));
  });

  it("draws only the rows near the window", async () => {
    expect(await page.locator("div.row").count()).toBeLessThan(30);
  });

  it("moves a placement by dragging: a live draft, one edit, one undo step", async () => {
    await show("cast-off");
    await placed("cast-off", "Wake", 1).click();
    const box = (await placed("cast-off", "Wake", 1).boundingBox())!;
    const step = (await page.locator("#section-cast-off .row svg").first().boundingBox())!.width / 16;
    await page.mouse.move(box.x + 20, box.y + 10);
    await page.mouse.down();
    await page.mouse.move(box.x + 20 + 2 * step, box.y + 10, { steps: 6 });
    await soon(async () =>
      Math.round(((await placed("cast-off", "Wake", 1).boundingBox())!.x - box.x) / step),
    ).toBe(2);
    expect((await castOff()).placements[2]).toEqual({ pattern: "wake", bar: 5, lasts: { cycles: 2 } });
    await page.mouse.up();
    await saved();
    expect((await castOff()).placements[2]).toEqual({
      pattern: "wake",
      bar: 5,
      at: "1/8",
      lasts: { cycles: 2 },
    });
    await page.keyboard.press("Control+z");
    await soon(async () => (await castOff()).placements[2]).toEqual({
      pattern: "wake",
      bar: 5,
      lasts: { cycles: 2 },
    });
  });

  it("moves and stretches it with the arrow keys", async () => {
    await placed("cast-off", "Wake", 1).click();
    await page.keyboard.press("ArrowRight");
    await saved();
    await page.keyboard.press("Shift+ArrowLeft");
    await soon(async () => (await castOff()).placements[2]).toEqual({
      pattern: "wake",
      bar: 5,
      at: "1/16",
      lasts: { steps: 23 },
    });
    await page.keyboard.press("Control+z");
    await saved();
    await page.keyboard.press("Control+z");
    await soon(async () => (await castOff()).placements[2]).toEqual({
      pattern: "wake",
      bar: 5,
      lasts: { cycles: 2 },
    });
  });

  it("asks which is to be shorter when one is pushed into its neighbour", async () => {
    await placed("cast-off", "Home").click();
    await page.keyboard.press("ArrowLeft");
    await page.getByRole("button", { name: "Shorten Wake to end where Home starts" }).click();
    await soon(async () => (await castOff()).placements[0]).toEqual({ pattern: "wake", bar: 1 });
    await saved();
    expect(await page.locator(".problems .trouble").count()).toBe(0);
    await page.keyboard.press("Control+z");
    await soon(async () => (await castOff()).placements[0]).toEqual({
      pattern: "wake",
      bar: 1,
      lasts: { cycles: 5 },
    });
  });

  it("changes a section's tempo to a ramp, and back", async () => {
    const part = page.locator("#section-cast-off");
    await part.getByRole("button", { name: "Change" }).click();
    await part.getByLabel("Tempo").fill("92 to 100");
    await page.keyboard.press("Enter");
    await soon(async () => (await castOff()).tempo).toEqual({ from: 92, to: 100 });
    await page.getByRole("button", { name: "Undo" }).click();
    await soon(async () => (await castOff()).tempo).toBe(92);
    await part.getByRole("button", { name: "Change" }).click();
  });
});

describe("playing", () => {
  it("says the caution once, then plays; the playhead moves; Space stops", async () => {
    await page.keyboard.press("Escape");
    await page.locator("#content").focus();
    await page.keyboard.press("Space");
    await page.getByRole("button", { name: "Play, quietly" }).click();
    const x = async () => (await page.locator(".playhead").first().getAttribute("style")) ?? "";
    await page.locator(".playhead").first().waitFor();
    const first = await x();
    await soon(x).not.toBe(first);
    await page.getByRole("link", { name: "Routine", exact: true }).click();
    await page.keyboard.press("Space");
    await soon(() => page.locator(".playhead").count()).toBe(0);
    await page.keyboard.press("Space");
    await page.locator(".playhead").first().waitFor();
    await page.keyboard.press("Space");
    await soon(() => page.locator(".foot .place").innerText()).toContain("Stopped");
  });
});

describe("writing", () => {
  it("takes a phrase as plain words, and shows what is worked out", async () => {
    await page.evaluate(() => {
      location.hash = "#/write/wake";
    });
    const entry = page.getByLabel("Record hand", { exact: true });
    await entry.fill("forward, back 90, hold 2");
    await page.keyboard.press("Enter");
    await soon(
      async () => (await served.routine()).patterns.find(({ id }) => id === "wake")!.record.strokes,
    ).toEqual([{ move: "forward" }, { move: "back", travel: 90 }, { move: "hold", length: 2 }]);
    await soon(() => page.locator(".phrase-facts").innerText()).toContain("12 steps");
    expect(await page.locator(".write div.row").count()).toBe(3);
  });

  it("changes the stroke in hand by keys", async () => {
    await page.locator("#content").focus();
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("f");
    await saved();
    await page.keyboard.press(".");
    await soon(
      async () => (await served.routine()).patterns.find(({ id }) => id === "wake")!.record.strokes[1],
    ).toEqual({ move: "forward", travel: 105 });
  });

  it("plays the phrase by itself", async () => {
    await page.keyboard.press("Space");
    await page.locator(".write .playhead").waitFor();
    await page.keyboard.press("Space");
    await soon(() => page.locator(".playhead").count()).toBe(0);
  });

  it("plays with Space though a button was clicked last, and presses one that was reached by the keyboard", async () => {
    const tap = page.getByRole("button", { name: "Tap it" });
    const place = () => page.locator(".foot .place").innerText();
    await tap.click();
    await page.keyboard.press("Space");
    await page.getByRole("button", { name: "Stop the beat" }).waitFor();
    expect(await tap.getAttribute("aria-pressed")).toBe("true");
    await page.keyboard.press("Space");
    await soon(place).toContain("Stopped");
    await page.keyboard.press("Shift+Tab");
    await page.locator(".tap-panel").getByRole("button", { name: "Leave" }).focus();
    await page.keyboard.press("Space");
    await soon(() => page.locator(".tap-panel").count()).toBe(0);
    expect(await place()).toContain("Stopped");
  });
});

describe("beats", () => {
  it("take a hit where one clicks, and steps as numbers", async () => {
    await page.evaluate(() => {
      location.hash = "#/write/beat channel";
    });
    const hits = async (key: number) =>
      (await served.routine()).beats
        .find(({ id }) => id === "channel")!
        .hits.filter((hit) => hit.key === key)
        .flatMap(({ at }) => at);
    const row = page.locator(".beat-row svg").first();
    const box = (await row.boundingBox())!;
    // The bass drum's track is the first; the bar has fourteen sixteenths of twelve steps.
    await row.click({ position: { x: (box.width * 3) / 14, y: 12 } });
    await soon(() => hits(36)).toEqual([0, 36, 72]);
    await row.click({ position: { x: (box.width * 3) / 14, y: 12 } });
    await soon(() => hits(36)).toEqual([0, 72]);
    await page.getByLabel("Bass drum (36), at steps").fill("1 25");
    await page.keyboard.press("Enter");
    await soon(() => hits(36)).toEqual([0, 24]);
  });
});

describe("taking away", () => {
  it("lists the clips, gives one as a file that is MIDI, and the zip", async () => {
    await screen("Export");
    const first = page.locator("td button").first();
    await first.waitFor();
    const [clip] = await Promise.all([page.waitForEvent("download"), first.click()]);
    expect((await readFile((await clip.path())!)).subarray(0, 4).toString("latin1")).toBe("MThd");
    const [zip] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Download all as a zip" }).click(),
    ]);
    expect((await readFile((await zip.path())!)).subarray(0, 2).toString("latin1")).toBe("PK");
  });
});

describe("for everybody", () => {
  it("finds an action by its words and does it", async () => {
    await page.locator("#content").focus();
    await page.keyboard.press("?");
    await page.getByLabel("Find an action").fill("go to rout");
    await page.keyboard.press("Enter");
    await soon(() => page.url()).toMatch(/#\/routine$/);
  });

  for (const name of ["Write", "Routine", "Export"]) {
    it(`has nothing that axe finds in either theme, and does not scroll sideways on a phone: ${name}`, async () => {
      await screen(name);
      await page.locator("main .row, main td").first().waitFor();
      await clean();
      await fits();
    });
  }

  it("left no error in the browser", () => {
    expect(faults).toEqual([]);
  });
});
