import { expect, test } from "vitest";
import { folderCampaign } from "./folderCrashes.ts";

/** Milliseconds: much of it is reckoning, which takes its time beside other work. */
const PATIENT = 180_000;

test(
  "500 losses of power while routines are moved about lose nothing",
  async () => {
    const { crashes, lost } = await folderCampaign(Number(process.env.COUNTERCUT_SEED ?? 1), 500);
    expect(lost).toEqual([]);
    expect(crashes).toBeGreaterThanOrEqual(500);
  },
  PATIENT,
);

test.each(["no folder sync", "no file sync"] as const)(
  "%s is noticed",
  async (fault) => {
    expect((await folderCampaign(1, 300, fault)).lost.length).toBeGreaterThan(0);
  },
  PATIENT,
);
