import { expect, test } from "vitest";
import { LEAST_IDS, RecentIds } from "../../server/live/recentIds.ts";

test("the newest ids are known, and however many edits come, no more than twice as many", () => {
  const ids = new RecentIds([
    ["kept-1", 1],
    ["kept-2", 2],
  ]);
  expect([ids.get("kept-1"), ids.get("kept-2"), ids.get("other")]).toEqual([1, 2, undefined]);
  let most = 0;
  for (let rev = 3; rev <= 5 * LEAST_IDS; rev++) {
    ids.set(`id-${rev}`, rev);
    most = Math.max(most, ids.size);
    const oldest = rev - LEAST_IDS + 1;
    if (oldest >= 3) expect(ids.get(`id-${oldest}`)).toBe(oldest);
  }
  expect(most).toBe(2 * LEAST_IDS);
  expect(ids.get("kept-1")).toBeUndefined();
  expect(ids.get("id-3")).toBeUndefined();
});
