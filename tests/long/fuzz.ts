/**
 * node tests/run.mjs tests/long/fuzz.ts [INPUTS] [SEED]
 * So many inputs into every parser in turn: a problem or a result, never a throw, never longer than a
 * second of processor time, and at its end no more memory than ten times the input and 16 MiB.
 */
import { seeded } from "../../server/sound/random.ts";
import { mutated } from "./mutate.ts";
import { PARSERS, type Parser } from "./parsers.ts";

/** What is not swept up yet counts too, so a parser may leave this much besides. */
const SLACK = 16 * 1024 * 1024;

function held(): number {
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

export interface Fuzzed {
  readonly inputs: number;
  readonly taken: number;
  /** Milliseconds of processor that the slowest input took. */
  readonly slowest: number;
  readonly failures: readonly string[];
}

/** Every input has a seed of its own, so that each can be made again alone. */
export async function fuzz({ name, seeds, parse }: Parser, inputs: number, from: number): Promise<Fuzzed> {
  const failures: string[] = [];
  let taken = 0;
  let slowest = 0;
  let done = 0;
  for (let seed = from; seed < from + inputs && failures.length < 10; seed++) {
    done++;
    const bytes = mutated(seeds, seeded(seed));
    const before = held();
    const start = process.cpuUsage();
    try {
      if (await parse(bytes)) taken++;
    } catch (error) {
      failures.push(`${name}, seed ${seed}: ${(error as Error).stack ?? String(error)}`);
    }
    // Not by the clock on the wall: a machine that stands still for a while is no fault of the parser's.
    const { user, system } = process.cpuUsage(start);
    const took = (user + system) / 1_000;
    slowest = Math.max(slowest, took);
    const more = held() - before;
    if (more > 10 * bytes.length + SLACK)
      failures.push(`${name}, seed ${seed}: took ${more} bytes for ${bytes.length}`);
    if (took > 1_000) failures.push(`${name}, seed ${seed}: took ${Math.round(took)} ms`);
  }
  return { inputs: done, taken, slowest, failures };
}

export async function main([inputs = "200000", seed = "1"]: string[]): Promise<number> {
  const each = Math.ceil(Number(inputs) / PARSERS.length);
  let failed = false;
  for (const parser of PARSERS) {
    const { inputs: done, taken, slowest, failures } = await fuzz(parser, each, Number(seed));
    console.log(
      `${parser.name}: ${done} inputs, seeds from ${seed}, ${taken} taken for valid, slowest ${slowest.toFixed(1)} ms, ${failures.length} failures`,
    );
    for (const failure of failures) console.log(`  ${failure}`);
    failed ||= failures.length > 0;
  }
  return failed ? 1 : 0;
}
