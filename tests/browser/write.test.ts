/** Phrases and beats written with real clicks and keys, from an empty routine on, in one Chromium. */
import { beforeAll, describe, expect, it } from "vitest";
import { FORMAT, type Routine, VERSION } from "../../schemas/routine.ts";
import { openProgram } from "./opened.ts";

const blank: Routine = {
  format: FORMAT,
  version: VERSION,
  title: "Blank",
  patterns: [],
  beats: [],
  sections: [{ id: "quay", name: "Quay", bars: 8, meter: "4/4", tempo: 92, placements: [] }],
};

const { page, served, faults, soon, go, clean } = await openProgram({
  files: { Blank: JSON.stringify(blank) },
  viewport: { width: 1280, height: 900 },
});
beforeAll(() => page.getByRole("link", { name: "Write", exact: true }).click());

const record = () => page.getByLabel("Record hand", { exact: true }).inputValue();
const fader = () => page.getByLabel("Fader hand", { exact: true }).inputValue();
/** Every edit is with the server, and what is shown is its answer. */
const settled = () => soon(() => page.locator(".saved").innerText()).not.toContain("Saving");
const keys = async (...pressed: string[]) => {
  await page.locator("#content").focus();
  for (const key of pressed) await page.keyboard.press(key);
};
/** A place on the first bar's record track, so many sixteenths from its start. */
const onRecord = async (sixteenths: number) => {
  const box = (await page.locator(".write .row svg").first().boundingBox())!;
  return { x: box.x + (box.width * sixteenths) / 16, y: box.y + 46 };
};
/** Keys as the machine had them at so many sixteenths after the first, the last of them just now. */
const keyed = async (...taps: readonly (readonly [key: string, sixteenth: number])[]) => {
  const machine = await page.context().newCDPSession(page);
  const sixteenth = 60 / 92 / 4;
  const first = Date.now() / 1000 - (taps.at(-1)![1] + 0.5) * sixteenth;
  for (const [key, at] of taps) {
    const one = { key, code: `Key${key.toUpperCase()}`, timestamp: first + at * sixteenth };
    await machine.send("Input.dispatchKeyEvent", { type: "keyDown", text: key, ...one });
    await machine.send("Input.dispatchKeyEvent", { type: "keyUp", ...one });
  }
  await machine.detach();
};

describe("a phrase from nothing", () => {
  it("begins from one that is offered", async () => {
    await page.getByRole("button", { name: "Four under three" }).click();
    await soon(record).toBe("forward, forward, back, back");
    await soon(fader).toBe("click, open, closed");
    await soon(() => page.locator(".phrase-facts").innerText()).toContain("12 steps");
    await soon(() => page.locator(".write div.row").count()).toBe(3);
    await soon(() => page.locator(".repeat-number").allInnerTexts()).toEqual([
      "",
      "repeat 2",
      "repeat 3",
      "repeat 4",
    ]);
  });

  it("has its ends dragged: a live draft, one undo step, and Escape lets go", async () => {
    await settled();
    const end = await onRecord(2);
    const to = await onRecord(4);
    await page.mouse.move(end.x - 2, end.y);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 4 });
    await soon(record).toBe("forward, forward 3 steps, back, back");
    await soon(() => page.locator(".phrase-facts").innerText()).toContain("6 steps");
    await page.keyboard.press("Escape");
    await soon(record).toBe("forward, forward, back, back");
    await page.mouse.up();
    await page.mouse.move(end.x - 2, end.y);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 4 });
    await page.mouse.up();
    await soon(record).toBe("forward, forward 3 steps, back, back");
    await settled();
    await page.keyboard.press("Control+z");
    await soon(record).toBe("forward, forward, back, back");
  });

  it("has a stroke dragged up for more travel, and along to another place", async () => {
    await settled();
    const from = await onRecord(0.5);
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(from.x, from.y - 36, { steps: 4 });
    await page.mouse.up();
    await soon(record).toBe("forward 90, forward, back, back");
    const to = await onRecord(2.5);
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 6 });
    await page.mouse.up();
    await soon(record).toBe("forward, back, forward 90, back");
  });

  it("is written by keys alone: one a stroke, digits for lengths, faster than the server answers", async () => {
    await keys("a", "f", "2", ".", "b", "2", "f", "b", "x", "o", "n", "2", "c", "p", "g");
    await soon(record).toBe("forward 60 2 steps, back 2 steps, forward, back 2 times");
    await soon(fader).toBe("open, closed 2 steps, click, pulse open for 5/8");
    await keys("ArrowLeft", "Backspace", "Shift+n", "ArrowUp", "Delete");
    await soon(record).toBe("forward 60 2 steps, back 2 steps, forward");
    await soon(fader).toBe("open, closed 2 steps, closed, pulse open for 5/8");
  });

  it("has a whole hand changed, each one undo step", async () => {
    await settled();
    await keys("v");
    await soon(record).toBe("back 60 2 steps, forward 2 steps, back");
    await keys("r");
    await soon(record).toBe("forward 2 steps, back, back 60 2 steps");
    await keys("Shift+ArrowRight");
    await soon(fader).toMatch(/^open 5\/8 steps, closed 3\/8 steps, |^pulse open for 5\/8, open, /);
    await keys("]");
    await soon(() => page.getByLabel("Step of the record hand").inputValue()).toBe("1/32");
    await settled();
    for (let times = 0; times < 4; times++) await page.keyboard.press("Control+z");
    await soon(record).toBe("forward 60 2 steps, back 2 steps, forward");
    await soon(fader).toBe("open, closed 2 steps, closed, pulse open for 5/8");
    expect(await page.getByLabel("Step of the record hand").inputValue()).toBe("1/16");
  });

  it("says what cannot be read in a line of words, where, and keeps what was typed", async () => {
    const line = page.getByLabel("Record hand", { exact: true });
    await line.fill("forward, sideways, back");
    await page.keyboard.press("Enter");
    await soon(() => page.locator(".entry-trouble").first().innerText()).toContain("In 2nd place");
    const chosen = await line.evaluate((input: HTMLInputElement) =>
      input.value.slice(input.selectionStart!, input.selectionEnd!),
    );
    expect(chosen.trim()).toBe("sideways");
    await page.keyboard.press("Escape");
    await soon(record).toBe("forward 60 2 steps, back 2 steps, forward");
  });

  it("has every value of a stroke and a cell in fields", async () => {
    await page.getByRole("listbox", { name: /^Record hand/ }).focus();
    const group = page.getByRole("group", { name: "The stroke or cell in hand" });
    await soon(() => group.innerText()).toContain("Stroke");
    await group.getByLabel("length in steps", { exact: true }).fill("3/2");
    await page.keyboard.press("Enter");
    await group.getByLabel("shape", { exact: true }).selectOption("even");
    await group.getByLabel("times", { exact: true }).fill("3");
    await page.keyboard.press("Enter");
    await soon(record).toMatch(/3\/2 steps even 3 times/);
  });
});

describe("tapping", () => {
  it("says that nothing plays; then shows taps against the step, and makes them a cycle", async () => {
    await settled();
    await keys("t");
    await page.getByLabel("Hand that is tapped").selectOption("record");
    await keys("f");
    await soon(() => page.locator(".tap-panel [role=status]").innerText()).toContain(
      "Nothing is playing yet",
    );
    await page.keyboard.press("Space");
    await page.getByRole("button", { name: "Play, quietly" }).click();
    const before = await record();
    await page.getByLabel("steps in the cycle").fill("8");
    await keys();
    // Long enough ago that all taps can be given their moments afterwards, however busy this machine is.
    await soon(() => page.locator(".foot .place").innerText()).toMatch(/beat 4/);
    await keyed(["f", 0], ["b", 5], ["f", 7]);
    await soon(() => page.locator(".tap-panel [role=status]").innerText()).toMatch(
      /^3 taps make a cycle of 8 steps/,
    );
    expect(await page.locator(".tap-picture .raw").count()).toBe(3);
    await soon(record).toBe("forward 5 steps, back 2 steps, forward");
    await page.keyboard.press("Enter");
    await soon(() => page.locator(".tap-panel").count()).toBe(0);
    await page.keyboard.press("Space");
    await settled();
    expect(await record()).toBe("forward 5 steps, back 2 steps, forward");
    await page.keyboard.press("Control+z");
    await soon(record).toBe(before);
  });
});

describe("beats", () => {
  it("are gone through, and one is taken for a section as one edit", async () => {
    await keys("u", "ArrowDown", "ArrowDown");
    await soon(() => page.locator(".built-in li.chosen button").innerText()).toBe("Long corridor");
    // A section that has none yet gets it.
    expect(await page.getByLabel("Take it for").locator("option:checked").innerText()).toBe("Quay");
    await keys("Enter");
    await soon(async () => (await served.routine("Blank")).sections[0]!.beat).toBe("long-corridor");
  });

  it("are drawn by a caret, a click and a line of steps", async () => {
    const drum = page.getByLabel("Bass drum (36), at steps");
    await soon(() => drum.inputValue()).toMatch(/^1:112 7:112/);
    // Faster than anything is drawn, and than the server answers.
    await keys("ArrowRight", "Enter", ".");
    await soon(() => drum.inputValue()).toMatch(/^1:112 2:108 7:112/);
    await settled();
    const bar = page.locator(".beat-row svg").first();
    const box = (await bar.boundingBox())!;
    await bar.click({ position: { x: box.width / 16 + 3, y: 12 } });
    await soon(() => drum.inputValue()).toMatch(/^1:112 7:112/);
    await settled();
    await drum.fill("1 9:64");
    await page.keyboard.press("Enter");
    await soon(() => drum.inputValue()).toBe("1 9:64");
  });
});

describe("the set-up", () => {
  it("holds the hands' limits, which phrases are held against at once", async () => {
    await page.getByRole("combobox", { name: "Write", exact: true }).selectOption("phrase-1");
    await soon(() => page.locator(".phrase-facts").innerText()).toContain("within them");
    await settled();
    await keys("Alt+0");
    await page.getByLabel("Strokes", { exact: true }).fill("2");
    await page.keyboard.press("Enter");
    await soon(() => page.locator(".phrase-facts").innerText()).toContain("beyond 1 limit");
    await page.getByRole("dialog", { name: "Set-up" }).getByRole("button", { name: "Undo" }).click();
    await soon(() => page.locator(".phrase-facts").innerText()).toContain("within them");
    await page.keyboard.press("Escape");
  });
});

describe("for everybody", () => {
  it("shows a term's meaning with a picture, and Escape puts it away", async () => {
    await page.getByRole("button", { name: "Comes round" }).click();
    await page.getByRole("img", { name: /group of three in bars of eight/ }).waitFor();
    await page.keyboard.press("Escape");
    await soon(() => page.locator(".help-picture").count()).toBe(0);
  });

  it("gives a phrase another id, and its place among the others, each one undo step", async () => {
    await settled();
    await go("#/write/phrase-1");
    const listed = page.getByRole("combobox", { name: "Write", exact: true }).locator("optgroup").first();
    const ids = async () =>
      (
        await listed.locator("option").evaluateAll((all) => all.map((one) => one.getAttribute("value")))
      ).slice(0, 2);
    await page.getByText("Id, order").click();
    const id = page.getByLabel("Id", { exact: true });
    await id.fill("phrase-2");
    await page.keyboard.press("Enter");
    expect(await id.evaluate((field: HTMLInputElement) => field.validationMessage)).toBe(
      "Another has the id phrase-2. Write one that none has.",
    );
    await id.fill("first-of-all");
    await page.keyboard.press("Enter");
    await soon(ids).toEqual(["first-of-all", "phrase-2"]);
    expect(page.url()).toMatch(/#\/write\/first-of-all$/);
    await page.getByRole("button", { name: "Down in the list" }).click();
    await soon(ids).toEqual(["phrase-2", "first-of-all"]);
    await keys("Control+z", "Control+z");
    await soon(ids).toEqual(["phrase-1", "phrase-2"]);
    expect(page.url()).toMatch(/#\/write\/phrase-1$/);
    await settled();
  });

  it("removes a phrase that is not played, and undo brings it back", async () => {
    await settled();
    await page.getByRole("button", { name: "Remove", exact: true }).click();
    await soon(() => page.getByLabel("Name", { exact: true }).inputValue()).toBe("Phrase 2");
    await settled();
    await page.getByRole("button", { name: "Undo" }).click();
    await soon(() =>
      page.getByRole("combobox", { name: "Write", exact: true }).locator("option").allInnerTexts(),
    ).toContain("Phrase 1");
  });

  for (const [what, key] of [
    ["a phrase while it is tapped", "t"],
    ["the built-in beats", "u"],
  ] as const)
    it(`has nothing that axe finds in either theme: ${what}`, async () => {
      await go("#/write/phrase-2");
      await page.locator(".phrase-facts").waitFor();
      await keys(key);
      await page.locator(".tap-panel, .built-in").waitFor();
      await clean();
      await page.keyboard.press("Escape");
    });

  it("left no error in the browser", () => {
    expect(faults).toEqual([]);
  });
});
