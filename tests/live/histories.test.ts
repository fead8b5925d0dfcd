import { expect, test } from "vitest";
import { campaign } from "./histories.ts";

test("whatever several pages do, every replica is the replay of the acknowledged edits", async () => {
  const from = Number(process.env.COUNTERCUT_SEED ?? Date.now() % 1_000_000_000);
  console.log(`histories: seeds from ${from} (COUNTERCUT_SEED)`);
  expect(await campaign(from, 60)).toEqual([]);
});
