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
    expect(turns).toBeGreaterThan(0);
    // Before each edit, none of which is turned down, and before all is heard; then before each is heard, and the first.
    expect(rests.filter((one) => one === undefined)).toHaveLength(turns + 1);
    expect(rests.filter((one) => one !== undefined)).toHaveLength(turns + 1);
    expect(writeRoutine(DEMO)).toBe(before);
  });
});
