/** On Rehearse: a player who fails at first, then gets it right, until the tempo has climbed. */
import type { Hand } from "./hand.ts";

/** What the player says of one round after the other, and percent of the written tempo at which it was played. */
const ROUNDS = [
  ["bad", 150],
  ["good", 140],
  ["good", 165],
  ["good", 190],
] as const;

/** @throws Error where the tempo does not follow what the player says */
export async function rehearse(hand: Hand): Promise<void> {
  const { page } = hand;
  await hand.go("Rehearse");
  await page.locator(".chosen-part").waitFor();
  console.log(`  to practise: ${await page.locator(".chosen-part").innerText()}`);
  await page.locator("#content").focus();
  await hand.press("Space");
  const top = page.locator(".far-top");
  for (const [round, percent] of ROUNDS) {
    await page.getByText("Was it good?").waitFor({ timeout: 60_000 });
    const before = await top.innerText();
    if (!before.includes(`${percent} %`)) throw new Error(`A round at ${before}, not at ${percent} %.`);
    await hand.press(round === "good" ? "ArrowUp" : "ArrowDown");
    await page.getByText("Was it good?").waitFor({ state: "detached" });
    console.log(`  ${round} at ${before.replace(/\s+/g, " ")}`);
  }
  await hand.press("Space");
  const outcome = await page.locator(".far-outcome").innerText();
  console.log(`  ${outcome.replace(/\n+/g, ". ")}`);
  if (!outcome.startsWith("Held at 190 %")) throw new Error("The last tempo is not said to be held.");
  await hand.press("Escape");
  await page.locator(".progress tbody tr").first().waitFor();
}
