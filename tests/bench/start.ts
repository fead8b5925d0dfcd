/** How soon the program answers, beside a bare Node that does nothing, started in turn with it. */
import { spawn, spawnSync } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { serveFolder } from "../browser/served.ts";
import { PROGRAM } from "../cli/run.ts";
import { median } from "./routines.ts";
import type { BenchRow } from "./row.ts";

const TURNS = 9;

function milliseconds(...words: readonly string[]): number {
  const start = performance.now();
  spawnSync(process.execPath, words);
  return performance.now() - start;
}

/** Until a Node with a server from its own library says that it listens. */
const bareServer = (): Promise<number> =>
  new Promise((done) => {
    const start = performance.now();
    const code = 'require("http").createServer().listen(0, "127.0.0.1", () => console.log("listens"))';
    const child = spawn(process.execPath, ["-e", code]);
    child.stdout.once("data", () => {
      done(performance.now() - start);
      child.kill();
    });
  });

/** Until `serve` on a new folder has printed its link: the demo is written by then. */
async function ready(): Promise<number> {
  const home = await mkdtemp(join(tmpdir(), "countercut-bench-"));
  const start = performance.now();
  const served = await serveFolder(join(home, "routines"), home);
  const took = performance.now() - start;
  await served.close();
  await rm(home, { recursive: true, force: true });
  return took;
}

export async function bench(): Promise<BenchRow[]> {
  const [bare, help, listens, serves]: number[][] = [[], [], [], []];
  for (let turn = 0; turn < TURNS; turn++) {
    bare?.push(milliseconds("-e", "0"));
    help?.push(milliseconds(PROGRAM, "--help"));
    listens?.push(await bareServer());
    serves?.push(await ready());
  }
  const [a, b, c, d] = [bare, help, listens, serves].map((times) => median(times ?? []));
  const row = (what: string, own = 0, against: string, peer = 1, goal: string): BenchRow => ({
    what,
    figure: `${own.toFixed(0)} ms`,
    against: `${against}: ${peer.toFixed(0)} ms`,
    ratio: `${(own / peer).toFixed(2)}×`,
    goal,
  });
  return [
    row("countercut --help", b, "node -e 0", a, "under 150 ms"),
    row("countercut serve until its link is there", d, "a bare node:http server", c, "under 1000 ms"),
  ];
}
