import { expect, test } from "vitest";
import { Bag } from "../../client/rehearse/bag.ts";
import { seeded } from "../../server/sound/random.ts";

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

test("what is drawn from another choice is of that choice, once the bag was emptied; of one alone it is that one", () => {
  const bag = new Bag<{ key: string }>();
  const random = seeded(6);
  for (const last of [undefined, joins[0]]) bag.draw(joins, last, random);
  // Two of the first choice are left in it.
  bag.empty();
  const other = ["x", "y", "z"].map((key) => ({ key }));
  const drawn = [0, 1, 2].map(() => bag.draw(other, undefined, random)!.key);
  expect(drawn.sort()).toEqual(["x", "y", "z"]);
  expect(bag.draw([other[0]!], other[0])).toBe(other[0]);
  expect(bag.draw([], undefined)).toBeUndefined();
});
