/**
 * node tests/run.mjs tests/long/crash.ts [CRASHES] [KILLS] [SEED]
 * Losses of power on a simulated disk, the same with flushes left out (which must be noticed), and real kills.
 */
import { campaign } from "../store/crashes.ts";
import { folderCampaign } from "../store/folderCrashes.ts";
import { killAgainAndAgain } from "../store/kills.ts";

export async function main([crashes = "25000", kills = "200", seed = "1"]: string[]): Promise<number> {
  const from = Number(seed);
  let failed = false;
  const sound = await campaign(from, Number(crashes));
  console.log(
    `power lost ${sound.crashes} times in ${sound.histories} histories (seeds from ${from}): ${sound.lost.length} lost something`,
  );
  for (const { seed, what } of sound.lost) console.log(`  seed ${seed}: ${what}`);
  failed ||= sound.lost.length > 0;

  const moved = await folderCampaign(from, Math.ceil(Number(crashes) / 5));
  console.log(
    `power lost ${moved.crashes} times while routines were made, renamed, binned and chosen: ${moved.lost.length} lost something`,
  );
  for (const { seed, what } of moved.lost) console.log(`  seed ${seed}: ${what}`);
  failed ||= moved.lost.length > 0;

  for (const fault of ["no journal sync", "no folder sync", "no file sync"] as const) {
    const { crashes: count, lost } = await campaign(from, 500, fault);
    console.log(
      `${fault}: noticed in ${lost.length} of ${count} crashes, first with seed ${lost[0]?.seed ?? "none"}`,
    );
    failed ||= lost.length === 0;
  }

  const killed = await killAgainAndAgain(Number(kills), from);
  console.log(
    `killed ${killed.kills} times at ${killed.acknowledged} edits: ${killed.lost.length} lost something`,
  );
  for (const what of killed.lost) console.log(`  ${what}`);
  failed ||= killed.lost.length > 0;
  return failed ? 1 : 0;
}
