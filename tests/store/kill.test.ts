import { expect, test } from "vitest";
import { killAgainAndAgain } from "./kills.ts";

test("a process killed eight times in a stream of edits loses none that was acknowledged", async () => {
  const { acknowledged, lost } = await killAgainAndAgain(8, Number(process.env.COUNTERCUT_SEED ?? 1));
  expect(lost).toEqual([]);
  expect(acknowledged).toBeGreaterThan(0);
});
