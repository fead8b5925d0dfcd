import { expect, test } from "vitest";
import { fuzz } from "./fuzz.ts";
import { PARSERS } from "./parsers.ts";

test.each(PARSERS)("1,000 random and harmed inputs give the $name parser no trouble", async (parser) => {
  const { failures, taken } = await fuzz(parser, 1_000, Number(process.env.COUNTERCUT_SEED ?? 1));
  expect(failures).toEqual([]);
  // Some harm is harmless: the inputs are near enough to valid ones to get far.
  expect(taken).toBeGreaterThan(0);
});

test.each(PARSERS)("the $name parser takes every input that harm starts from", async ({ parse, seeds }) => {
  expect(await Promise.all(seeds.map((seed) => parse(seed)))).toEqual(seeds.map(() => true));
});
