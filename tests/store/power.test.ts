import { expect, test } from "vitest";
import { campaign } from "./crashes.ts";

/** Milliseconds: much of it is reckoning, which takes its time beside other work. */
const PATIENT = 180_000;

test(
  "1,000 losses of power lose no acknowledged edit",
  async () => {
    const seed = Number(process.env.COUNTERCUT_SEED ?? 1);
    const { crashes, lost } = await campaign(seed, 1_000);
    expect(lost).toEqual([]);
    expect(crashes).toBeGreaterThanOrEqual(1_000);
  },
  PATIENT,
);

test.each(["no journal sync", "no folder sync", "no file sync"] as const)(
  "%s is noticed",
  async (fault) => {
    const { lost } = await campaign(1, 1_500, fault, 1);
    expect(lost).toHaveLength(1);
  },
  PATIENT,
);
