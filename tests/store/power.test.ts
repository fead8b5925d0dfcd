import { expect, test } from "vitest";
import { campaign } from "./crashes.ts";

test("1,500 losses of power lose no acknowledged edit", async () => {
  const seed = Number(process.env.SEED ?? 1);
  const { crashes, lost } = await campaign(seed, 1_500);
  expect(lost).toEqual([]);
  expect(crashes).toBeGreaterThanOrEqual(1_500);
});

test.each(["no journal sync", "no folder sync", "no file sync"] as const)("%s is noticed", async (fault) => {
  const { lost } = await campaign(1, 1_500, fault, 1);
  expect(lost).toHaveLength(1);
});
