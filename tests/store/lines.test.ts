/** A file that only grows: no line that was answered for is lost with the power, and nothing stands in its way. */
import { expect, test } from "vitest";
import { addLine, readLines } from "../../server/store/lines.ts";
import { seeded } from "../../server/sound/random.ts";
import { type Fault, PowerLossDisk } from "./powerLoss.ts";

/** Adds numbered lines through three losses of power. @returns what was answered for, and what is there at last */
async function life(seed: number, fault: Fault | null = null): Promise<{ told: string[]; there: string[] }> {
  const random = seeded(seed);
  const disk = new PowerLossDisk(random, fault);
  const told: string[] = [];
  let number = 0;
  for (let round = 0; round < 3; round++) {
    const fs = disk.start(1 + Math.floor(random() * 30));
    try {
      for (;;) {
        const line = `{"entry":${++number},"words":"ab"}`;
        await addLine(fs, "/root", "x.practice.jsonl", line);
        told.push(line);
      }
    } catch (error) {
      if (!disk.isOff) throw error;
    }
    disk.crash();
  }
  const there = await readLines(disk.start(Number.POSITIVE_INFINITY), "/root/x.practice.jsonl");
  return { told, there: [...there] };
}

const lost = ({ told, there }: Awaited<ReturnType<typeof life>>): string[] =>
  told.filter((line) => !there.includes(line));

test("no line that was answered for is lost in a thousand lives with three losses of power each", async () => {
  for (let seed = 1; seed <= 1_000; seed++) {
    const one = await life(seed);
    expect(lost(one), `seed ${seed}`).toEqual([]);
    expect(one.told).toEqual(one.there.filter((line) => one.told.includes(line)));
  }
});

test("a flush that does nothing is noticed", async () => {
  for (const fault of ["no journal sync", "no folder sync"] as const) {
    let losses = 0;
    for (let seed = 1; seed <= 100; seed++) losses += lost(await life(seed, fault)).length;
    expect(losses, fault).toBeGreaterThan(0);
  }
});
