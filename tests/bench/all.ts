/** `npm run bench`: one table, each figure beside a peer or a limit measured in the same run. */
import { cpus, loadavg, release, totalmem, type } from "node:os";
import type { BenchRow } from "./row.ts";

const TOPICS: readonly (readonly [string, () => Promise<{ bench(): Promise<BenchRow[]> }>])[] = [
  ["start", () => import("./start.ts")],
  ["compile", () => import("./compile.ts")],
  ["facts", () => import("./facts.ts")],
  ["find", () => import("./find.ts")],
  ["clips", () => import("./clips.ts")],
  ["voice", () => import("./voice.ts")],
  ["live", () => import("./live.ts")],
  ["page", () => import("./page.ts")],
];

export async function main(words: readonly string[]): Promise<number> {
  const load = loadavg()[0]?.toFixed(2);
  const chosen = TOPICS.filter(([topic]) => words.length === 0 || words.includes(topic));
  const rows: BenchRow[] = [];
  for (const [topic, load] of chosen) {
    process.stderr.write(`${topic} …\n`);
    rows.push(...(await (await load()).bench()));
  }
  const gib = (totalmem() / 2 ** 30).toFixed(0);
  console.log(
    `${cpus().length} × ${cpus()[0]?.model ?? "unknown"}, ${gib} GiB, Node ${process.version}, ${type()} ${release()}; load before: ${load}\n`,
  );
  const columns = ["what", "figure", "against", "ratio", "goal"] as const;
  const widths = columns.map((column) => Math.max(column.length, ...rows.map((row) => row[column].length)));
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, at) => cell.padEnd(widths[at] ?? 0))
      .join("  ")
      .trimEnd();
  console.log(line(columns));
  console.log(line(widths.map((width) => "-".repeat(width))));
  for (const row of rows) console.log(line(columns.map((column) => row[column])));
  console.log("\n×: the figure by what stands against it; times: so many times as good as that.");
  return 0;
}
