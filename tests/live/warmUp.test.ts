import { getEnvironmentData } from "node:worker_threads";
import { describe, expect, it } from "vitest";
import { warmUp } from "../../server/live/warmUp.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { createKit } from "../../server/sound/kit.ts";

describe("warming up", () => {
  it("works out edits of a copy, lets others go first between them, and leaves the routine as it is", async () => {
    const before = writeRoutine(DEMO);
    const rests: (number | undefined)[] = [];
    const turns = await warmUp(DEMO, createKit(), async (milliseconds) => void rests.push(milliseconds));
    // One of one page, 24 times, none of which is turned down; then, 400 times, of each of five pages: some meet.
    expect(turns).toBeGreaterThan(24 + 3 * 400);
    // Once the pages are there, before each turn, and before all is heard.
    expect(rests.filter((one) => one === undefined)).toHaveLength(1 + 24 + 1 + 400);
    // Before each of the first 24 is heard, and before what was there at first.
    expect(rests.filter((one) => one !== undefined)).toHaveLength(24 + 1);
    expect(writeRoutine(DEMO)).toBe(before);
  });

  it("keeps no thread from its work: nobody's hand is on the routine", async () => {
    const stillUntil = (): number | undefined =>
      (getEnvironmentData("countercut: still until") as Int32Array)[0];
    const before = stillUntil();
    await warmUp(DEMO, createKit(), async () => {});
    expect(stillUntil()).toBe(before);
  });
});
