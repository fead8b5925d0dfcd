/** Kills a process that edits, and looks at what it left. */
import { spawn } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openFolder } from "../../server/store/folder.ts";
import { seeded } from "../../server/sound/random.ts";

const STREAM = new URL("./stream.mjs", import.meta.url).pathname;

export interface Kills {
  readonly kills: number;
  /** The last edit that was acknowledged before a kill. */
  readonly acknowledged: number;
  readonly lost: readonly string[];
}

export async function killAgainAndAgain(kills: number, seed: number): Promise<Kills> {
  const random = seeded(seed);
  const path = await mkdtemp(join(tmpdir(), "kill-"));
  const lost: string[] = [];
  let told = 0;
  try {
    const made = await openFolder(path);
    await made.create("Night Ferry", "start");
    await made.close();
    for (let kill = 1; kill <= kills; kill++) {
      const acknowledged = await editUntilKilled(path, 150 * random());
      told = Math.max(told, acknowledged);
      const folder = await openFolder(path);
      const stored = await folder.open("Night Ferry");
      const found = [stored.start.text, ...stored.after.map(({ ops }) => ops as string)].join(",");
      const edits = Array.from({ length: stored.rev }, (_, index) => `e${index + 1}`);
      if (stored.rev < acknowledged)
        lost.push(`kill ${kill}: ${acknowledged} acknowledged, ${stored.rev} there`);
      if (found !== ["start", ...edits].join(",")) lost.push(`kill ${kill}: another text`);
      if (stored.state.is === "changed-outside" || stored.state.is === "read-only") {
        lost.push(`kill ${kill}: ${stored.state.is}`);
      }
      await folder.close();
    }
  } finally {
    await rm(path, { recursive: true, force: true });
  }
  return { kills, acknowledged: told, lost };
}

/** @returns the last acknowledged revision that the process told of */
function editUntilKilled(path: string, after: number): Promise<number> {
  const child = spawn(process.execPath, [STREAM, path], { stdio: ["ignore", "pipe", "pipe"] });
  let said = "";
  let complaint = "";
  child.stdout.setEncoding("utf8");
  child.stderr.setEncoding("utf8");
  child.stderr.on("data", (part: string) => {
    complaint += part;
  });
  return new Promise((resolve, reject) => {
    child.stdout.on("data", (part: string) => {
      // From the first word on, so that the start of the process does not count.
      if (said === "") setTimeout(() => child.kill("SIGKILL"), after);
      said += part;
    });
    child.on("close", (code) => {
      if (code !== null) return reject(new Error(`the process ended by itself: ${complaint}`));
      const revs = said.split("\n").slice(0, -1).map(Number);
      resolve(revs.reduce((a, b) => Math.max(a, b), 0));
    });
  });
}
