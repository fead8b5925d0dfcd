import { describe, expect, it } from "vitest";
import { warmUp } from "../../server/live/warmUp.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { createKit } from "../../server/sound/kit.ts";

describe("warming up", () => {
  it("works out edits of a copy, lets others go first between them, and leaves the routine as it is", async () => {
    const before = writeRoutine(DEMO);
    let rests = 0;
    const turns = await warmUp(DEMO, createKit(), async () => {
      rests++;
    });
    expect([turns, rests]).toEqual([24, 50]);
    expect(writeRoutine(DEMO)).toBe(before);
  });
});
