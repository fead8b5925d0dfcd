/** Finding a phrase with real clicks and keys, in one Chromium, on the built program. */
import { beforeAll, describe, expect, it } from "vitest";
import type { FaderState, Move } from "../../schemas/routine.ts";
import { neighboursOf } from "../../server/facts/neighbours.ts";
import { parseMeter } from "../../server/time/meter.ts";
import { canonical, shortestForms } from "../combinations/reference.ts";
import { listenIn } from "./listening.ts";
import { openProgram } from "./opened.ts";

const { page, served, faults, soon, clean, fits } = await openProgram({
  before: (page) => page.addInitScript(listenIn),
});
beforeAll(async () => {
  await page.getByRole("link", { name: "Write", exact: true }).click();
  await page.locator(".metre").waitFor();
});

const status = () => page.locator(".write [role=status]").innerText();
const rows = () => page.locator(".find-row .row").count();
const inHand = () => page.locator(".find-row.chosen > button").innerText();
const handWords = () => page.locator(".in-hand p").first().innerText();
const patterns = async () => (await served.routine()).patterns;

/**
 * The space that is offered first, the slow way: every cycle of 2 to 4 strokes under every cycle of 3 to 5 cells, each
 * phrase as its steps, and once in whichever shift.
 */
const phrases = new Set(
  [2, 3, 4].flatMap((strokes) =>
    shortestForms<Move>(["forward", "back"], strokes).flatMap((record) =>
      [3, 4, 5].flatMap((cells) =>
        shortestForms<FaderState>(["open", "click"], cells).map((fader) => canonical(record, fader)),
      ),
    ),
  ),
);
const moves = (phrase: string, move: Move): number =>
  phrase.split(" ").filter((step) => step.startsWith(move)).length;
/** As often back as forward; a whole number of times fills one, two or three bars of sixteen. */
const matching = [...phrases].filter((phrase) => {
  const steps = phrase.split(" ").length;
  const comesRound = [1, 2, 3].some((bars) => (16 * bars) % steps === 0);
  return comesRound && moves(phrase, "forward") === moves(phrase, "back");
});

describe("finding a phrase", () => {
  it("opens from Write by a key: all combinations counted, the easiest first, as small bar rows with their facts", async () => {
    await page.keyboard.press("s");
    // Foghorn, the phrase in hand, counts in eighths.
    const step = page.getByLabel("Step", { exact: true });
    expect(await step.inputValue()).toBe("1/8");
    await step.selectOption("1/16");
    await soon(status).toBe(`${phrases.size} combinations.`);
    await soon(rows).toBe(12);
    await soon(() => page.locator(".find-facts").first().innerText()).toContain("within your limits up to");
    // Its staircase stands beside the list, and how it pulls against the bar.
    await soon(() => page.locator(".in-hand .row").count()).toBe(1);
    expect(await page.locator(".in-hand .metre p").innerText()).toContain("syncopation");
  });

  it("narrows by what the phrase must be, and says how many match", async () => {
    await page.getByText("What the phrase must be").click();
    await page.getByLabel("Drift", { exact: true }).selectOption("zero");
    await page.getByLabel("Comes round within, bars").fill("3");
    await page.keyboard.press("Tab");
    await soon(status).toBe(`${matching.length} of ${phrases.size} combinations match.`);
    await soon(() => page.locator(".find-facts", { hasText: "drift" }).count()).toBe(0);
  });

  it("tells what makes no sense in a sentence", async () => {
    const from = page.getByRole("group", { name: "Record cycle" }).getByLabel("from");
    await from.fill("9");
    await page.keyboard.press("Tab");
    await soon(() => page.locator(".write [role=alert]").innerText()).toBe(
      "The record cycle runs backwards: 9 is above 4. Exchange the two.",
    );
    await from.fill("2");
    await page.keyboard.press("Tab");
    await soon(status).toContain("match");
  });

  it("is gone through with the arrow keys, heard in a loop from the next bar on", async () => {
    await page.getByRole("button", { name: "Phrase 1", exact: true }).click();
    await page.keyboard.press("Space");
    await page.getByRole("button", { name: "Play, quietly" }).click();
    await soon(() => page.getByRole("button", { name: "Stop", exact: true }).count()).toBe(1);
    await page.waitForFunction(() => window.heard.reports.length > 5);
    const before = await handWords();
    await page.keyboard.press("ArrowDown");
    await soon(inHand).toBe("2");
    await soon(handWords).not.toBe(before);
    const said = () => page.evaluate(() => window.heard.said);
    const next = async () =>
      (await said()).map((text) => JSON.parse(text)).find(({ type }) => type === "next");
    await soon(next).toMatchObject({ type: "next", when: "bar", material: { kind: "alone" } });
    await page.waitForFunction(() => window.heard.told.some((text) => text.includes('"switched"')));
    expect(await page.getByRole("button", { name: "Stop", exact: true }).count()).toBe(1);
    await page.keyboard.press("Space");
  });

  it("keeps the one in hand with one key, as one undo step", async () => {
    const before = (await patterns()).length;
    // Neither the button of the sound nor that of the phrase takes Enter for itself after a click.
    await page.getByRole("button", { name: "Phrase 2", exact: true }).click();
    await page.getByRole("button", { name: "Play", exact: true }).click();
    await page.keyboard.press("Enter");
    expect(await page.getByRole("button", { name: "Stop", exact: true }).count()).toBe(1);
    await page.keyboard.press("Space");
    await soon(async () => (await patterns()).length).toBe(before + 1);
    const kept = (await patterns()).at(-1)!;
    expect(kept.name).toMatch(/^\d under \d$/);
    await soon(() => page.locator(".find-row.chosen .find-facts").innerText()).toContain(
      `kept as ${kept.name}`,
    );
    await page.keyboard.press("Enter");
    await page.keyboard.press("Control+z");
    await soon(async () => (await patterns()).length).toBe(before);
  });

  it("goes on from the one in hand to what is one change away", async () => {
    await page.keyboard.press("w");
    await soon(status).toMatch(/^\d+ phrases\.$/);
    await soon(rows).toBe(12);
    expect(await page.locator(".find-row strong").first().innerText()).toMatch(/: (easier|as hard|harder)/);
    await page.getByRole("button", { name: "Find among all combinations" }).click();
    await soon(status).toContain("match");
    // From a phrase of the routine too.
    await page.locator("main select").first().selectOption("wake");
    await page.getByRole("button", { name: "Phrases one change away" }).click();
    const wake = (await patterns()).find(({ id }) => id === "wake")!;
    const { neighbours } = neighboursOf(wake, parseMeter("4/4")!);
    await soon(status).toBe(`${neighbours.length} phrases.`);
    expect(await page.locator("main").innerText()).toContain("from Wake");
    await page.goBack();
    await page.locator(".write .bench").waitFor();
  });

  it("asks before it goes through a vast space, shows how far it is, and ends when told to", async () => {
    await page.keyboard.press("s");
    const set = async (hand: string, end: string, value: string) => {
      await page
        .getByRole("group", { name: `${hand} cycle` })
        .getByLabel(end)
        .fill(value);
      await page.keyboard.press("Tab");
    };
    await set("Record", "to", "12");
    await set("Fader", "to", "16");
    await page.getByRole("button", { name: "Go through them" }).click();
    await soon(status).toMatch(/[1-9][\d,]* of [\d,]+ combinations looked at/);
    await page.getByRole("button", { name: "End the search" }).click();
    await soon(status).toMatch(/match, as far as was looked/);
    await soon(rows).toBe(12);
    await set("Record", "to", "4");
    await set("Fader", "to", "5");
    await soon(status).toContain(`of ${phrases.size} combinations match.`);
  });

  it("has no fault that axe finds, in both themes, and fits a phone", async () => {
    await soon(rows).toBeGreaterThan(3);
    await clean();
    await fits();
    // Where all stands in one column, the one in hand is kept from its own row.
    const chosen = page.locator(".find-row.chosen");
    const keep = chosen.getByRole("button", { name: "Keep it" });
    // The window has just been a phone's.
    await soon(() => keep.count()).toBe(0);
    await page.setViewportSize({ width: 390, height: 844 });
    const before = (await patterns()).length;
    await page.getByRole("button", { name: "Phrase 3", exact: true }).click();
    await keep.click();
    await soon(async () => (await patterns()).length).toBe(before + 1);
    await soon(() => chosen.innerText()).toContain("kept as");
    expect(await keep.count()).toBe(0);
    await clean();
    expect(faults).toEqual([]);
  });
});
