/** The search of the space of combinations: on one core, beside the same facts worked out pattern by pattern; on all. */
import { availableParallelism } from "node:os";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import type { FindQuestion, Space } from "../../schemas/find.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { difficultyOf } from "../../server/facts/difficulty.ts";
import { listing, meetingsOf } from "../../server/facts/find.ts";
import { planOf } from "../../server/facts/findPlan.ts";
import { blocksOf, countOf } from "../../server/facts/findSpace.ts";
import type * as Pool from "../../server/facts/findWorkers.ts";
import { isMirrored } from "../../server/facts/mirror.ts";
import { tradeNames } from "../../server/facts/names.ts";
import { middleRound, patternOf } from "../combinations/reference.ts";
import type { BenchRow } from "./row.ts";

const space = (record: number, fader: number): Space => ({
  record: { from: record, to: record },
  fader: { from: fader, to: fader },
  strokes: ["forward", "back", "hold"],
  cells: ["open", "closed", "click"],
});
const GRID = { step: UNITS_PER_WHOLE / 16, bar: UNITS_PER_WHOLE };
const aSecond = (count: number | bigint, milliseconds: number): number =>
  (Number(count) / milliseconds) * 1000;
const said = (rate: number): string => `${Math.round(rate).toLocaleString("en")} a second`;

/** All facts of all combinations of 4 and 12 steps, on this thread. */
function onOneCore(): number {
  const one = space(4, 12);
  let heard = 0;
  const start = performance.now();
  for (const block of blocksOf(one))
    for (const meeting of meetingsOf(block, one, GRID)) heard += meeting.sounds;
  const rate = aSecond(countOf(one), performance.now() - start);
  if (heard === 0) throw new Error("nothing was heard");
  return rate;
}

/** The same facts of some of them, each as a pattern played by the hands, after as many to warm up. */
function slowly(count: number): number {
  const plan = planOf({ space: space(4, 12), top: 0 });
  if ("refused" in plan) throw new Error(plan.refused);
  const some = listing(plan);
  let start = 0;
  for (let done = -count; done < count; done++) {
    if (done === 0) start = performance.now();
    const next = some.next();
    if (next.done === true) break;
    const pattern = patternOf(next.value.found.record, next.value.found.fader);
    middleRound(pattern);
    isMirrored(pattern);
    tradeNames(pattern);
    difficultyOf(pattern);
  }
  return aSecond(count, performance.now() - start);
}

/** A search through 143 million on so many threads: its rate, and the memory of the process each second, MB. */
async function onThreads(workers: number): Promise<{ rate: number; memory: number[] }> {
  const built = pathToFileURL(resolve("dist/server/facts/findWorkers.js")).href;
  const { startSearch } = (await import(/* @vite-ignore */ built)) as typeof Pool;
  const vast: FindQuestion = {
    space: space(8, 12),
    filter: { mirrored: true },
    ranking: { by: "difficulty", first: "least" },
    top: 20,
  };
  const start = performance.now();
  const running = startSearch(vast, workers);
  if ("refused" in running) throw new Error(running.refused);
  const memory: number[] = [];
  const timer = setInterval(() => memory.push(process.memoryUsage().rss / 1e6), 1000);
  await running.answer;
  clearInterval(timer);
  return { rate: aSecond(countOf(vast.space), performance.now() - start), memory };
}

export async function bench(): Promise<BenchRow[]> {
  const one = onOneCore();
  const slow = slowly(2000);
  const alone = await onThreads(1);
  const cores = availableParallelism();
  const all = await onThreads(cores);
  const half = Math.floor(all.memory.length / 2);
  const early = Math.max(...all.memory.slice(0, half));
  const late = Math.max(...all.memory.slice(half));
  return [
    {
      what: "combinations with all facts, 4 under 12 steps, three kinds each, one core",
      figure: said(one),
      against: `as patterns played by the hands: ${said(slow)}`,
      ratio: `${(one / slow).toFixed(0)}×`,
      goal: "300,000 a second",
    },
    {
      what: `filtered and ranked, ${Number(countOf(space(8, 12))).toLocaleString("en")} combinations, ${cores} threads`,
      figure: said(all.rate),
      against: `one thread: ${said(alone.rate)}`,
      ratio: `${(all.rate / alone.rate).toFixed(2)}×`,
      goal: `near ${cores}× on ${cores} idle cores`,
    },
    {
      what: "memory in the second half of that search",
      figure: `${late.toFixed(0)} MB`,
      against: `in the first half: ${early.toFixed(0)} MB`,
      ratio: `${(late / early).toFixed(2)}×`,
      goal: "flat",
    },
  ];
}
