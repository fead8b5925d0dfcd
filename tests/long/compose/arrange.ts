/** On Routine: sections, what stands in them, a gap that is filled so that it lands, and a join that is mended. */
import { isWords, type Placement, type Routine, type Section } from "../../../schemas/routine.ts";
import { tempoText } from "../../../client/routine/SectionForm.tsx";
import type { Hand } from "./hand.ts";

export async function arrange(hand: Hand, routine: Routine): Promise<void> {
  const { page } = hand;
  await hand.go("Routine");
  if (routine.timeLimit !== undefined)
    await hand.fill(page.getByLabel("Time limit, seconds (0: none)"), routine.timeLimit);
  for (const [index, section] of routine.sections.entries()) {
    if (index > 0) await page.getByRole("button", { name: "Add a section at the end" }).click();
    await shaped(hand, routine, section, `#section-section-${index + 1}`);
  }
  for (const section of routine.sections) {
    for (const [index, placement] of section.placements.entries()) {
      await spot(hand, section, placement.bar);
      if (isWords(placement)) await words(hand, placement.words);
      else if (section.name === "Five stairs down") await landed(hand, routine, placement.pattern);
      else await hand.press(`${routine.patterns.findIndex(({ id }) => id === placement.pattern) + 1}`);
      await page.getByLabel("What is chosen").waitFor();
      await hand.saved();
      if (!isWords(placement) && placement.carriesOn === true && index === 0) await mended(hand);
      await valued(hand, routine, placement);
    }
  }
}

/** What the section is. */
async function shaped(hand: Hand, routine: Routine, section: Section, at: string): Promise<void> {
  const { page } = hand;
  const part = page.locator(at);
  const change = part.getByRole("button", { name: "Change" });
  await change.scrollIntoViewIfNeeded();
  if ((await change.getAttribute("aria-expanded")) !== "true") await change.click();
  const field = (label: string) => part.getByLabel(label, { exact: true });
  await hand.fill(field("Name"), section.name!);
  await hand.fill(field("Bars"), section.bars);
  await hand.fill(field("Metre"), section.meter);
  await hand.fill(field("Tempo"), tempoText(section.tempo));
  const beat = routine.beats.find(({ id }) => id === section.beat);
  await field("Beat").selectOption({ label: beat?.name ?? "none" });
  if (section.beatRests !== undefined) {
    const rests = field("Beat rests in bars");
    await hand.fill(rests, section.beatRests.join(", "));
  }
  await hand.saved();
  await change.click();
}

/** The spot at the start of a bar, with nothing chosen. */
async function spot(hand: Hand, section: Section, bar: number): Promise<void> {
  const { page } = hand;
  const sections = page.getByLabel("Go to section");
  await sections.focus();
  const option = sections.locator("option", { hasText: section.name! });
  await sections.selectOption((await option.first().getAttribute("value"))!);
  await page.locator("#content").focus();
  for (let at = 1; at < bar; at++) await hand.press("ArrowDown");
  await page.getByLabel("The spot").getByText(`${section.name}, bar ${bar}, beat 1`).waitFor();
}

async function words(hand: Hand, text: string): Promise<void> {
  await hand.press("w");
  await hand.fill(hand.page.getByLabel("Words for the hands"), text);
}

/** The gap at the spot filled with one phrase, by the best way that is offered. */
async function landed(hand: Hand, routine: Routine, pattern: string): Promise<void> {
  const { page } = hand;
  await hand.press("g");
  const offered = page.getByRole("group", { name: "Phrases to fill it with" });
  for (const one of routine.patterns) {
    const tick = offered.getByLabel(one.name!, { exact: true });
    if ((await tick.count()) > 0) await tick.setChecked(one.id === pattern);
  }
  await page.locator(".ways li").first().waitFor();
  console.log(`  to land: ${await page.locator(".ways li span").first().innerText()}`);
  await page.getByRole("button", { name: "Take", exact: true }).first().click();
}

/** The join before what is chosen, by the mend that lets the record be. */
async function mended(hand: Hand): Promise<void> {
  const { page } = hand;
  await page.getByRole("button", { name: "What would make it flow" }).click();
  const mends = page.getByRole("group", { name: "To reach it" }).getByRole("button");
  await mends.first().waitFor();
  console.log(`  to mend: ${(await mends.allInnerTexts()).join("; ")}`);
  await mends
    .filter({ hasText: /^Let .* where the record is left/ })
    .first()
    .click();
  await hand.saved();
}

/** How long it lasts, and on what it is played. */
async function valued(hand: Hand, routine: Routine, placement: Placement): Promise<void> {
  const { page } = hand;
  const panel = page.getByLabel("What is chosen");
  const values = panel.getByRole("button", { name: "All values" });
  if ((await values.getAttribute("aria-expanded")) !== "true") await values.click();
  const [unit, count] = Object.entries(placement.lasts ?? {})[0] ?? [];
  if (unit !== undefined)
    await hand.fill(panel.getByLabel(`How many ${unit === "cycles" ? "repeats" : unit}`), count as number);
  const sample = isWords(placement) ? undefined : placement.sample;
  if (sample !== undefined)
    await panel
      .getByLabel("Sample", { exact: true })
      .selectOption({ label: routine.rig?.samples?.find(({ id }) => id === sample)?.name ?? sample });
  await hand.saved();
  await panel.getByRole("button", { name: "Close" }).click();
}
