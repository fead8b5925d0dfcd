/**
 * node tests/run.mjs tests/long/packed.ts [NODE-VERSION …]
 * Installs the package in an empty folder with nothing else and runs every command: on the oldest and the newest Node
 * that the registry offers within `engines`, or on those that are named. Needs the registry.
 */
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { tryEveryCommand } from "../package/everyCommand.ts";
import { npm, pack } from "../package/packing.ts";

const numbers = (version: string): number[] => version.split(".").map(Number);
const byVersion = (a: string, b: string): number => {
  const [x, y] = [numbers(a), numbers(b)];
  const at = x.findIndex((part, index) => part !== y[index]);
  return at < 0 ? 0 : (x[at] ?? 0) - (y[at] ?? 0);
};

/** Those within `engines`, which says ">=A.B". */
function oldestAndNewest(): string[] {
  const { engines } = JSON.parse(readFileSync("package.json", "utf8")) as { engines: { node: string } };
  const lowest = `${engines.node.replace(">=", "")}.0`;
  const offered = JSON.parse(npm(["view", "node", "versions", "--json"])) as string[];
  const within = offered
    .filter((version) => /^\d+\.\d+\.\d+$/.test(version) && byVersion(version, lowest) >= 0)
    .sort(byVersion);
  return [within[0], within.at(-1)].filter((version) => version !== undefined);
}

/** A package of the registry, or a file, in a folder that holds nothing else. */
function install(what: string, folder: string): void {
  mkdirSync(folder);
  writeFileSync(join(folder, "package.json"), "{}");
  npm(["install", "--no-audit", "--no-fund", what], folder);
}

export async function main(words: readonly string[]): Promise<number> {
  const home = mkdtempSync(join(tmpdir(), "countercut-packed-"));
  let failed = 0;
  try {
    install(pack(home), join(home, "installed"));
    const program = join(home, "installed/node_modules/countercut/dist/server/cli/main.js");
    for (const version of words.length > 0 ? words : oldestAndNewest()) {
      install(`node@${version}`, join(home, version));
      const node = join(home, version, "node_modules/node/bin/node");
      if (!existsSync(node)) throw new Error(`Node ${version} could not be installed.`);
      const wrong = await tryEveryCommand({ node, program });
      console.log(wrong.length === 0 ? `Node ${version}: every command works.` : `Node ${version}:`);
      for (const line of wrong) console.log(`  ${line}`);
      failed += wrong.length;
    }
  } finally {
    rmSync(home, { recursive: true, force: true });
  }
  return failed === 0 ? 0 : 1;
}
