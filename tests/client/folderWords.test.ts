import { expect, test } from "vitest";
import { agoWords, freeName, sizeWords } from "../../client/folder/words.ts";

test("how long ago stands in whole minutes and hours, and from a day on as a date", () => {
  const now = Date.UTC(2026, 0, 5, 12);
  expect([0, 59_999, 60_000, 119_999, 3_600_000, 7_200_000].map((ago) => agoWords(now - ago, now))).toEqual([
    "changed just now",
    "changed just now",
    "changed 1 minute ago",
    "changed 1 minute ago",
    "changed 1 hour ago",
    "changed 2 hours ago",
  ]);
  expect(agoWords(now - 86_400_000, now)).toMatch(/^changed .*2026/);
});

test("sizes are in thousands, rounded to what is shown", () => {
  expect([1, 999, 1_499, 999_499, 999_500, 999_999, 1_250_000].map(sizeWords)).toEqual([
    "1 byte",
    "999 bytes",
    "1 kB",
    "999 kB",
    "1.0 MB",
    "1.0 MB",
    "1.3 MB",
  ]);
});

test("a free name is told apart by more than its case", () => {
  expect(freeName("New routine", [])).toBe("New routine");
  expect(freeName("New routine", ["new Routine", "New routine 2"])).toBe("New routine 3");
});
