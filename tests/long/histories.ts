/**
 * node tests/run.mjs tests/long/histories.ts [HISTORIES] [SEED]
 * Several pages on one routine, with lost connections and deaths of the server; each seed is a history of its own.
 */
import { campaign } from "../live/histories.ts";

export async function main([count = "10000", seed = "1"]: string[]): Promise<number> {
  const failed = await campaign(Number(seed), Number(count));
  console.log(`${count} histories (seeds from ${seed}): ${failed.length} went wrong`);
  for (const { seed: one, what } of failed) console.log(`  seed ${one}: ${what}`);
  return failed.length > 0 ? 1 : 0;
}
