import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { expect, test } from "vitest";
import { ProblemCode } from "../../schemas/problem.ts";
import { CATALOGUE } from "../../server/routine/catalogue.ts";

test("DEVELOPERS.md documents every problem as the catalogue has it, in its order", () => {
  const guide = readFileSync(resolve(import.meta.dirname, "../../DEVELOPERS.md"), "utf8");
  const rows = guide.split("\n").filter((line) => /^\| `[a-z-]+` \| (error|warning) \|/.test(line));
  expect(rows).toEqual(
    Object.entries(CATALOGUE).map(([code, { severity, when }]) => `| \`${code}\` | ${severity} | ${when} |`),
  );
  expect(Object.keys(CATALOGUE)).toEqual(ProblemCode.options);
});
