/** Nothing can be saved: the page says why, keeps what is made, over a reload too, and gives it as a file. */
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { openProgram } from "./opened.ts";

const NAME = "Night Ferry";
const { page, served, soon, clean, look } = await openProgram({
  files: { [NAME]: writeRoutine(DEMO) },
  // A journal that cannot be read: the routine is shown, and nothing is written over it.
  async prepare(folder) {
    await mkdir(folder);
    await writeFile(join(folder, `.${NAME}.journal`), "no journal\n");
  },
});
const button = (name: string | RegExp) => page.getByRole("button", { name });

async function taken(name: string | RegExp): Promise<unknown> {
  const [download] = await Promise.all([page.waitForEvent("download"), button(name).click()]);
  return JSON.parse(await readFile(await download.path(), "utf8"));
}

it("is told, and what is not saved can be taken away before and after a reload", async () => {
  const alert = page.locator(".offer[role=alert]");
  expect(await alert.innerText()).toContain("cannot be read");
  expect(await page.locator(".saved").innerText()).toBe("Cannot be saved");
  const part = page.locator("#section-cast-off");
  await part.getByRole("button", { name: "Change" }).click();
  await part.getByLabel("Tempo", { exact: true }).fill("93");
  await page.keyboard.press("Enter");
  await button("Download what is not saved: 1").waitFor();
  await look("unsaved");
  await clean();
  const lost = [
    expect.objectContaining({
      kind: "edit",
      edit: expect.objectContaining({ kind: "change-section", id: "cast-off", set: { tempo: 93 } }),
    }),
  ];
  expect(await taken(/not saved/)).toEqual(lost);
  expect(await taken("Download the routine as it is")).toEqual(JSON.parse(writeRoutine(DEMO)));
  await page.reload();
  await soon(() => button("Download what is not saved: 1").count()).toBe(1);
  expect(await taken(/not saved/)).toEqual(lost);
  // Each more is one of them, and takes no room of its own.
  const more = page.locator(".offer", { hasText: "Not done: " });
  for (const [count, tempo] of ["94", "95"].entries()) {
    await part.getByRole("button", { name: "Change" }).click();
    await part.getByLabel("Tempo", { exact: true }).fill(tempo);
    await page.keyboard.press("Enter");
    await button(`Download what is not saved: ${count + 2}`).waitFor();
    await part.getByRole("button", { name: "Change" }).click();
  }
  expect(await more.count()).toBe(1);
  expect(await more.innerText()).toMatch(/, and 2 before it\. Kept in this page/);
  expect(await taken(/not saved/)).toHaveLength(3);
  await button("Let them go").click();
  await soon(() => more.count()).toBe(0);
  expect(await readFile(join(served.folder, `.${NAME}.journal`), "utf8")).toBe("no journal\n");
});
