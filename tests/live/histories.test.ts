import { expect, test } from "vitest";
import { campaign } from "./histories.ts";

test("whatever several pages do, every replica is the replay of the acknowledged edits", async () => {
  const { COUNTERCUT_RUNS, COUNTERCUT_SEED } = process.env;
  const from = Number(COUNTERCUT_SEED ?? Date.now() % 1_000_000_000);
  const count = Number(COUNTERCUT_RUNS ?? 60);
  console.log(`histories: ${count}, seeds from COUNTERCUT_SEED=${from}`);
  expect(await campaign(from, count)).toEqual([]);
});
