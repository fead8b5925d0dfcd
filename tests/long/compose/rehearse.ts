/** On Rehearse: a player who fails at first, then gets it right, until the tempo has climbed. */
import type { Hand } from "./hand.ts";

/** What the player says of one round after the other. */
const ROUNDS = ["bad", "good", "good", "good"] as const;

export async function rehearse(hand: Hand): Promise<void> {
  const { page } = hand;
  await hand.go("Rehearse");
  await page.locator(".chosen-part").waitFor();
  console.log(`  to practise: ${await page.locator(".chosen-part").innerText()}`);
  await page.locator("#content").focus();
  await hand.press("Space");
  const top = page.locator(".far-top");
  for (const round of ROUNDS) {
    await page.getByText("Was it good?").waitFor({ timeout: 60_000 });
    const before = await top.innerText();
    await hand.press(round === "good" ? "ArrowUp" : "ArrowDown");
    await page.getByText("Was it good?").waitFor({ state: "detached" });
    console.log(`  ${round} at ${before.replace(/\s+/g, " ")}`);
  }
  await hand.press("Space");
  console.log(`  ${(await page.locator(".far-outcome").innerText()).replace(/\n+/g, ". ")}`);
  await hand.press("Escape");
  await page.locator(".progress tbody tr").first().waitFor();
}
