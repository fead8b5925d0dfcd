import { expect, test } from "vitest";
import { Bag } from "../../client/rehearse/bag.ts";
import { seeded } from "../store/crashes.ts";

const joins = ["a", "b", "c", "d"].map((key) => ({ key }));

test("each join comes once before any comes again, and none twice in a row", () => {
  const bag = new Bag<{ key: string }>();
  const random = seeded(5);
  const came: { key: string }[] = [];
  for (let round = 0; round < 400; round++) came.push(bag.draw(joins, came.at(-1), random)!);
  for (let at = 0; at < came.length; at += joins.length)
    expect(
      came
        .slice(at, at + joins.length)
        .map(({ key }) => key)
        .sort(),
    ).toEqual(["a", "b", "c", "d"]);
  expect(came.some(({ key }, index) => key === came[index + 1]?.key)).toBe(false);
  // Of four, each comes first in some of the hundred turns.
  expect(new Set(came.filter((_, index) => index % 4 === 0).map(({ key }) => key)).size).toBe(4);
});

test("what is drawn from another choice, or from one alone, is of that choice", () => {
  const bag = new Bag<{ key: string }>();
  bag.draw(joins, undefined);
  bag.empty();
  expect(bag.draw([{ key: "x" }], joins[0])).toEqual({ key: "x" });
  expect(bag.draw([], undefined)).toBeUndefined();
});
