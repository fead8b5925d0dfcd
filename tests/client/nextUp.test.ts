import { expect, test } from "vitest";
import { dayOf, nextUp, practisedBy } from "../../client/rehearse/nextUp.ts";
import { type PracticeEntry, type PracticeOf, practiceKey } from "../../schemas/practice.ts";

const join = (name: string): PracticeOf => ({
  kind: "join",
  from: { section: "a", pattern: name },
  to: { section: "a", pattern: "home" },
});
const phrase: PracticeOf = { kind: "phrase", section: "a", pattern: "home" };
let ids = 0;
/** Noon on a day of March, by the clock of this machine. */
const on = (day: number, of: PracticeOf, what: Partial<PracticeEntry> = {}): PracticeEntry => ({
  id: `entry-${++ids}`,
  at: new Date(2026, 2, day, 12).toISOString(),
  of,
  seconds: 60,
  good: 8,
  bad: 1,
  reached: 90,
  failedAt: null,
  written: 100,
  strokes: 10,
  clicks: 10,
  ...what,
});
const today = dayOf(new Date(2026, 2, 10, 9));
const things = [
  { key: practiceKey(phrase), kind: "phrase" as const },
  { key: practiceKey(join("one")), kind: "join" as const },
  { key: practiceKey(join("two")), kind: "join" as const },
];
const order = (entries: PracticeEntry[]) => nextUp(things, practisedBy(entries), today).map(({ key }) => key);

test("what was begun and is due comes first, the weakest before; then what is new, joins before phrases", () => {
  expect(order([])).toEqual([things[1]!.key, things[2]!.key, things[0]!.key]);
  expect(order([on(8, join("two"))])).toEqual([things[2]!.key, things[1]!.key, things[0]!.key]);
  const both = [on(8, join("one"), { reached: 95 }), on(8, join("two"), { reached: 70 })];
  expect(order(both)).toEqual([things[2]!.key, things[1]!.key, things[0]!.key]);
  const weak = [on(8, phrase, { reached: 30 }), on(8, join("one"), { reached: 95 })];
  expect(order(weak)).toEqual([things[1]!.key, things[0]!.key, things[2]!.key]);
});

test("days that go well lie further and further apart, one that does not brings it back the next day", () => {
  const of = join("one");
  const gap = (entries: PracticeEntry[]) => practisedBy(entries).get(practiceKey(of))!.gap;
  expect(gap([on(1, of)])).toBe(1);
  expect(gap([on(1, of), on(2, of)])).toBe(2);
  expect(gap([on(1, of), on(2, of), on(4, of)])).toBe(4);
  // Twice on a day is one day.
  expect(gap([on(1, of), on(1, of), on(2, of)])).toBe(2);
  expect(gap([on(1, of), on(2, of), on(4, of, { good: 3, bad: 7 })])).toBe(1);
  expect(gap(Array.from({ length: 9 }, (_, day) => on(day + 1, of)))).toBe(16);
});

test("what is not due comes last, and the reason says when, what was reached and what went wrong", () => {
  const entries = [on(9, join("one")), on(10, join("one"), { good: 9, bad: 0 })];
  const next = nextUp(things, practisedBy(entries), today);
  expect(next.at(-1)).toMatchObject({ key: things[1]!.key, in: 2 });
  expect(next.at(-1)!.reason).toBe("Last reached 90 % of its tempo, none of 9 rounds went wrong.");
  expect(next.at(-1)!.when).toBe("After a day that went well it waits 2 days: it is due in 2 days.");
  const hard = nextUp(things, practisedBy([on(10, join("two"), { good: 1, bad: 5, reached: null })]), today);
  expect(hard.at(-1)!.reason).toBe("No good round so far, 5 of 6 rounds went wrong.");
  expect(hard.at(-1)!.when).toBe("After a hard day it comes again the next day: it is due tomorrow.");
});
