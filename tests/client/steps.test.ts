import { describe, expect, it } from "vitest";
import { STEPS, stepName } from "../../client/parts/music.ts";
import { Step } from "../../schemas/routine.ts";

/** Quarters to sixty-fourths, and the same in triplets to thirteens: N in the time of the power of two below. */
describe("the steps that can be chosen", () => {
  it("are fractions that a routine can hold, thirty-five in all", () => {
    expect(STEPS).toHaveLength(35);
    expect(new Set(STEPS).size).toBe(35);
    for (const step of STEPS) expect(Step.safeParse(step).success, step).toBe(true);
  });

  it("have names in either custom", () => {
    for (const step of STEPS) expect(stepName(step, "sixteenth"), step).not.toBe(step);
    expect(stepName("1/16", "semiquaver")).toBe("semiquaver");
    expect(stepName("1/24", "sixteenth")).toBe("sixteenth triplet");
    // Nine in the time of eight quarters.
    expect(stepName("2/9", "sixteenth")).toBe("quarter nonuplet");
    expect(stepName("1/20", "sixteenth")).toBe("sixteenth quintuplet");
    expect(stepName("3/16", "sixteenth")).toBe("3/16");
  });
});
