/** The folder's routines and the past, with real clicks and keys, on the built program. */
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openProgram } from "./opened.ts";

const { browser, page, served, faults, soon, clean, fits, look } = await openProgram();

const button = (name: string | RegExp) => page.getByRole("button", { name, exact: typeof name === "string" });
const title = () => page.getByRole("heading", { level: 1 }).innerText();
const names = () => page.getByRole("list", { name: "Routines" }).locator("strong").allInnerTexts();

/** Does what the list of actions has by these words, over whatever is open. */
const listed = async (words: string) => {
  await page.keyboard.press("?");
  await page.getByLabel("Find an action").waitFor();
  await page.keyboard.type(words);
  await page.keyboard.press("Enter");
};

describe("what was done", () => {
  it("stands in words by time; a moment is looked at and heard, and nothing can be changed there", async () => {
    const part = page.locator("#section-cast-off");
    for (const tempo of ["93", "94"]) {
      await part.getByRole("button", { name: "Change" }).click();
      await part.getByLabel("Tempo", { exact: true }).fill(tempo);
      await page.keyboard.press("Enter");
      await soon(
        async () => (await served.routine()).sections.find(({ id }) => id === "cast-off")?.tempo,
      ).toBe(Number(tempo));
      await part.getByRole("button", { name: "Change" }).click();
    }
    const heard = part.locator(".heard path[d^=M]");
    await heard.first().waitFor({ state: "attached" });
    await button("Past").click();
    await page.locator(".edits button").nth(1).waitFor();
    expect(await page.locator(".edits button").first().innerText()).toContain("94");
    await look("history dark");
    await clean();
    await page.locator(".edits button").nth(1).click();
    await page.locator(".past-bar").waitFor();
    expect(await page.locator(".past-bar").innerText()).toContain("93");
    // What is drawn as heard is heard now.
    await soon(() => heard.count()).toBe(0);
    await soon(() => part.innerText()).toContain("93");
    await look("past dark");
    await clean();
    await page.keyboard.press("Control+z");
    expect((await served.routine()).sections.find(({ id }) => id === "cast-off")?.tempo).toBe(94);
    await button("Hear it").click();
    await button("Play, quietly").click();
    await page.locator(".playhead").first().waitFor();
    await page.locator(".past-bar").getByRole("button", { name: "Stop" }).click();
    await soon(() => page.locator(".playhead").count()).toBe(0);
  });

  it("is left with Escape, or brought back as a new edit, which can be undone", async () => {
    await page.locator("#content").focus();
    await page.keyboard.press("Escape");
    await soon(() => page.locator(".past-bar").count()).toBe(0);
    await soon(() => page.locator("#section-cast-off").innerText()).toContain("94");
    // From any screen, and left with the Routine screen: the others show how it is now.
    await page.keyboard.press("Alt+1");
    await page.keyboard.press("Alt+8");
    await page.locator(".edits button").nth(2).click();
    await button("Bring it back").waitFor();
    await page.locator("#section-cast-off").waitFor();
    await page.keyboard.press("Alt+1");
    await soon(() => page.locator(".past-bar").count()).toBe(0);
    await page.keyboard.press("Alt+8");
    await page.locator(".edits button").nth(2).click();
    await button("Bring it back").click();
    const tempo = async () => (await served.routine()).sections.find(({ id }) => id === "cast-off")?.tempo;
    await soon(tempo).toBe(92);
    await page.locator("#content").focus();
    await page.keyboard.press("Control+z");
    await soon(tempo).toBe(94);
  });
});

describe("the folder", () => {
  it("opens from the title, lists with time and size, begins, copies, renames, and says why not", async () => {
    await button("Night Ferry").click();
    expect(await names()).toEqual(["Night Ferry"]);
    expect(await page.locator("button.routine").first().innerText()).toMatch(
      /open now, changed (?:just now|\d+ minutes? ago), \d+ kB/,
    );
    await button("Copy Night Ferry").click();
    await page.getByLabel("Call the copy of Night Ferry").fill("night ferry");
    await page.keyboard.press("Enter");
    await soon(() => page.locator(".folder-place .trouble").innerText()).toContain("already");
    await page.getByLabel("Call the copy of Night Ferry").fill("Day Ferry");
    await page.keyboard.press("Enter");
    await soon(names).toEqual(["Day Ferry", "Night Ferry"]);
    await button("Rename Day Ferry").click();
    await page.getByLabel("Call Day Ferry from now on").fill("CON");
    await page.keyboard.press("Enter");
    await soon(() => page.locator(".folder-place .trouble").innerText()).toContain("device");
    await page.getByLabel("Call Day Ferry from now on").fill("Late Ferry");
    await page.keyboard.press("Enter");
    await soon(names).toEqual(["Late Ferry", "Night Ferry"]);
    await look("folder dark");
    await clean();
    await page.getByLabel("A new one, called").fill("Breakwater");
    await button("Begin empty").click();
    await soon(title).toBe("Breakwater");
    expect((await served.routine("Breakwater")).patterns).toEqual([]);
    await page.keyboard.press("Alt+0");
    await page.getByRole("heading", { name: "Set-up" }).waitFor();
    await fits();
    await listed("platter turns at 45");
    await soon(async () => (await served.routine("Breakwater")).rig?.platter).toBe(45);
    await listed("limit: strokes");
    const focused = () => page.evaluate(() => document.activeElement?.getAttribute("aria-label"));
    await soon(focused).toBe("Strokes");
    await page.keyboard.type("7");
    await page.keyboard.press("Enter");
    await soon(async () => (await served.routine("Breakwater")).rig?.limits).toEqual({ strokes: 7 });
    await page.keyboard.press("Escape");
  });

  it("puts into the bin and brings back, and the open one that goes says so", async () => {
    await page.keyboard.press("Alt+9");
    await button("Breakwater: to the bin").click();
    await soon(names).toEqual(["Late Ferry", "Night Ferry"]);
    await page.getByText("In the bin: 1 routine").click();
    await look("bin dark");
    await page.keyboard.press("Escape");
    await page.getByRole("heading", { name: "Breakwater is in the bin" }).waitFor();
    await button("Routines in this folder").click();
    await page.getByText("In the bin: 1 routine").click();
    await listed("bring back breakwater");
    await page.keyboard.press("Alt+9");
    await soon(names).toEqual(["Breakwater", "Late Ferry", "Night Ferry"]);
    for (const name of ["Breakwater", "Late Ferry", "Night Ferry"]) {
      await button(`${name}: to the bin`).click();
      await soon(names).not.toContain(name);
    }
  });

  it("offers to begin where there is none", async () => {
    await page.keyboard.press("Escape");
    await page.getByRole("heading", { name: "There is no routine in this folder yet" }).waitFor();
    await look("empty dark");
    await clean();
    await button("Begin with Night Ferry").click();
    await page.locator("#section-cast-off").waitFor();
    expect(await title()).toBe("Night Ferry");
  });

  it("opens anew with a key that comes before the browser tells that it was closed", async () => {
    await page.keyboard.press("Alt+9");
    await page.keyboard.press("?");
    await page.getByLabel("Find an action").fill("alt+1");
    await page.evaluate(() => {
      const [action] = document.querySelectorAll<HTMLElement>("dialog.actions li button:enabled");
      action!.click();
      dispatchEvent(new KeyboardEvent("keydown", { key: "9", code: "Digit9", altKey: true }));
    });
    await soon(() => page.locator("dialog.actions[open]").count()).toBe(0);
    await page.evaluate(() => new Promise(requestAnimationFrame));
    expect(await page.locator("dialog.folder-place[open]").count()).toBe(1);
    await page.keyboard.press("Escape");
    await soon(() => page.locator("dialog[open]").count()).toBe(0);
  });

  it("makes a link for another browser, which is let in where it stands, and never twice", async () => {
    await page.keyboard.press("Alt+9");
    await page.getByText("Another browser on this machine").click();
    await button("Make a link").click();
    const link = await page.getByLabel("The link").inputValue();
    await page.keyboard.press("Escape");
    const { origin, hash } = new URL(link);
    for (const comesIn of [true, false]) {
      const other = await (await browser.newContext()).newPage();
      await other.goto(origin);
      const shut = other.getByRole("heading", { name: "This link has been used or is too old" });
      await shut.waitFor();
      await other.evaluate((fresh) => {
        location.hash = fresh;
      }, hash);
      if (comesIn) await other.locator("#section-cast-off").waitFor();
      await soon(() => other.url()).not.toContain("t=");
      expect(await shut.count()).toBe(comesIn ? 0 : 1);
      await other.context().close();
    }
  });

  it("fits a phone", async () => {
    await page.setViewportSize({ width: 390, height: 844 });
    for (const key of ["Alt+9", "Alt+8"]) {
      await page.keyboard.press(key);
      await page.locator("dialog[open]").waitFor();
      await look(`phone ${key}`);
      const wide = await page.evaluate(() => {
        const dialog = document.querySelector("dialog[open]")!;
        return Math.max(
          document.documentElement.scrollWidth - innerWidth,
          dialog.scrollWidth - dialog.clientWidth,
        );
      });
      expect(wide).toBeLessThanOrEqual(0);
      await page.keyboard.press("Escape");
    }
    await page.setViewportSize({ width: 1280, height: 800 });
  });
});

describe("a file that was changed outside", () => {
  it("is never written over: both are shown, one is chosen, the other is kept as a copy", async () => {
    const file = join(served.folder, "Night Ferry.routine.json");
    const theirs = { ...(await served.routine()), title: "Ferry from elsewhere" };
    await writeFile(file, JSON.stringify(theirs));
    await button("Compare").click();
    await soon(() => page.locator(".compared").innerText()).toContain("Ferry from elsewhere");
    await look("outside dark");
    await clean();
    await button("Take the file").click();
    await soon(title).toBe("Ferry from elsewhere");
    await writeFile(file, JSON.stringify({ ...theirs, title: "Ferry again" }));
    await button("Keep what is shown here").click();
    await soon(async () => (await served.routine()).title).toBe("Ferry from elsewhere");
    const copies = await served.names();
    expect(copies.filter((name) => name.startsWith("Night Ferry ("))).toHaveLength(2);
    expect(
      await readFile(join(served.folder, copies.find((name) => name.includes("changed outside"))!), "utf8"),
    ).toContain("Ferry again");
  });

  it("left no error in the browser", () => {
    expect(faults).toEqual([]);
  });
});
