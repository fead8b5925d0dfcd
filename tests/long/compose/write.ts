/** On Write: the beat, the tape that is made of it, the samples, and the phrases. */
import { rename } from "node:fs/promises";
import { join } from "node:path";
import type { Beat, Pattern, Routine } from "../../../schemas/routine.ts";
import { cellsText, strokesText } from "../../../client/write/entry.ts";
import { drumName, lineOf } from "../../../client/write/beatHits.ts";
import { LOFT_TAPE } from "../../../server/routine/atticWaltz.ts";
import type { Hand } from "./hand.ts";

/** Combinations that one goes through by the arrow key, at most. */
const MOST_LOOKED_AT = 40;

const drawnOf = ({ beats }: Routine): Beat => beats.find(({ recorded }) => recorded === undefined)!;
const tapeOf = ({ beats }: Routine): Beat => beats.find(({ recorded }) => recorded !== undefined)!;
const nameField = ({ page }: Hand) => page.getByLabel("Name", { exact: true });

/** Its first section becomes the two bars in which the beat is drawn and heard. */
export async function writeBeat(hand: Hand, routine: Routine): Promise<void> {
  const { page } = hand;
  const beat = drawnOf(routine);
  const first = page.locator("#section-section-1");
  await first.getByRole("button", { name: "Change" }).click();
  await hand.fill(first.getByLabel("Bars", { exact: true }), LOFT_TAPE.bars);
  await hand.fill(first.getByLabel("Metre", { exact: true }), LOFT_TAPE.meter);
  await hand.fill(first.getByLabel("Tempo", { exact: true }), LOFT_TAPE.tempo);
  await hand.go("Write");
  await page.getByLabel("Begin something else").selectOption({ label: "A beat drawn from nothing" });
  await hand.fill(nameField(hand), beat.name!);
  await hand.fill(page.getByLabel("Length in steps"), beat.steps);
  for (const key of new Set(beat.hits.map((hit) => hit.key))) {
    const line = page.getByLabel(`${drumName(key)} (${key}), at steps`);
    if ((await line.count()) === 0) await page.getByLabel("Add a drum").selectOption(`${key}`);
    await hand.fill(line, lineOf(beat.hits, key));
    await hand.saved();
  }
  await hand.go("Routine");
  await first.getByLabel("Beat", { exact: true }).selectOption({ label: beat.name! });
  await hand.saved();
}

/** The drawn beat taken away as sound, and brought back as a recording. */
export async function tape(hand: Hand, routine: Routine, folder: string): Promise<void> {
  const { page } = hand;
  const beat = tapeOf(routine);
  await hand.go("Export");
  await hand.go("Sound");
  await page.getByLabel("the mix: scratch and beat").uncheck();
  await page.getByLabel("the beat alone").check();
  const path = await hand.taken(() => page.getByRole("button", { name: "Download", exact: true }).click());
  const file = join(folder, beat.recorded!.file);
  await rename(path, file);
  await hand.go("Write");
  await page.getByLabel("Begin something else").selectOption({ label: "A recorded beat" });
  await hand.fill(nameField(hand), beat.name!);
  await page.locator("input[type=file]").first().setInputFiles(file);
  await page.getByLabel("Its tempo").waitFor();
  console.log(`  the tempo of the tape was found as ${await page.getByLabel("Its tempo").inputValue()}`);
  await hand.fill(page.getByLabel("First beat, seconds"), beat.recorded!.firstBeat ?? 0);
  await hand.fill(page.getByLabel("Its tempo"), beat.recorded!.tempo);
  await hand.saved();
}

export async function writePhrases(hand: Hand, routine: Routine): Promise<void> {
  const { page } = hand;
  await hand.go("Write");
  await page.getByRole("link", { name: "Samples", exact: true }).click();
  for (const [index, sample] of (routine.rig?.samples ?? []).entries()) {
    // The first is there from the start.
    if (index > 0) await page.getByLabel("or add a built-in one").selectOption(sample.builtIn!);
    await page.getByRole("group", { name: "Which sample" }).getByRole("button").nth(index).click();
    await hand.fill(nameField(hand), sample.name!);
    await hand.saved();
  }
  await hand.go("Write");
  for (const pattern of routine.patterns) {
    if (pattern.name === "Stair") await found(hand, pattern);
    else await begun(hand);
    await written(hand, pattern);
  }
}

async function begun({ page, saved }: Hand): Promise<void> {
  await saved();
  await page.getByRole("button", { name: "New phrase" }).click();
}

/** Looked for among all combinations of its lengths, gone through by arrow keys, and kept. */
async function found(hand: Hand, pattern: Pattern): Promise<void> {
  const { page } = hand;
  await page.getByRole("button", { name: "Find a phrase" }).click();
  const record = page.getByRole("group", { name: "Record cycle" });
  const fader = page.getByRole("group", { name: "Fader cycle" });
  for (const [group, length] of [
    [record, 4],
    [fader, 3],
  ] as const) {
    await hand.fill(group.getByLabel("from"), length);
    await hand.fill(group.getByLabel("to", { exact: true }), length);
  }
  await fader.getByLabel("click").uncheck();
  await fader.getByLabel("closed").check();
  await page.getByLabel("Step", { exact: true }).selectOption(pattern.record.step);
  await page.locator(".find-row").first().waitFor();
  await page.locator("#content").focus();
  const words = page.locator(".in-hand p").first();
  // A step a stroke, as they are found: that two of them become one is written afterwards.
  const sought = strokesText(
    pattern.record.strokes.flatMap(({ move, length }) => new Array(Number(length ?? 1)).fill({ move })),
  );
  for (let tries = 0; !(await words.innerText()).includes(sought); tries++) {
    if (tries === MOST_LOOKED_AT)
      throw new Error(`${sought} is not among the first ${tries} that were found.`);
    await hand.press("ArrowDown");
  }
  await hand.press("Enter");
  console.log(`  found: ${(await words.innerText()).replace(/\s+/g, " ")}`);
  await page.getByRole("link", { name: /^Write on at/ }).click();
  const kept = await page.getByLabel("Record hand", { exact: true }).inputValue();
  if (kept !== sought) throw new Error(`${sought} was found, and ${kept} was kept.`);
}

async function written(hand: Hand, pattern: Pattern): Promise<void> {
  const { page } = hand;
  await hand.fill(nameField(hand), pattern.name!);
  for (const which of ["record", "fader"] as const) {
    const label = which === "record" ? "Record hand" : "Fader hand";
    const line = which === "record" ? strokesText(pattern.record.strokes) : cellsText(pattern.fader.cells);
    await page.getByLabel(`Step of the ${which} hand`).selectOption(pattern[which].step);
    await hand.fill(page.getByLabel(label, { exact: true }), line);
  }
  await hand.saved();
}
