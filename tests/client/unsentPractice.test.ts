/** Practice that waits in the browser while routines are renamed and removed. */
import { beforeEach, expect, test } from "vitest";
import type { PracticeEntry } from "../../schemas/practice.ts";
import { folder } from "../../client/state/opening.ts";
import {
  followNews,
  giveTo,
  hasHome,
  homeless,
  throwAway,
  toSend,
  unsent,
  wasSent,
} from "../../client/rehearse/unsentPractice.ts";

const entry = (id: string): PracticeEntry => ({
  id,
  at: "2026-11-28T12:00:00.000Z",
  of: { kind: "whole" },
  seconds: 60,
  good: 1,
  bad: 0,
  reached: 92,
  failedAt: null,
  written: 92,
  strokes: 10,
  clicks: 10,
});
const has = (...names: string[]): void => {
  folder.value = {
    path: "/routines",
    notices: [],
    routines: names.map((name) => ({ name, bytes: 1, modified: 0 })),
  };
};
const waiting = () => unsent.value.map(({ name, entry: { id } }) => `${id} of ${name}`);

beforeEach(() => {
  unsent.value = [];
  folder.value = null;
  toSend("Old Quay", entry("first"));
  toSend("Night Ferry", entry("second"));
  toSend("Old Quay", entry("third"));
});

test("what waits for a routine follows it to its new name, the rest staying where it is", () => {
  const [first] = unsent.value;
  followNews({ type: "renamed", name: "Old Quay", to: "New Quay" });
  // To the bin: it may come back from there.
  followNews({ type: "renamed", name: "Night Ferry", to: null });
  expect(waiting()).toEqual(["first of New Quay", "second of Night Ferry", "third of New Quay"]);
  // It was on its way meanwhile, by the old name.
  wasSent(first!);
  expect(waiting()).toEqual(["second of Night Ferry", "third of New Quay"]);
});

test("what belongs to no routine of the folder is told by name, and nothing is as long as the folder is not known", () => {
  expect(homeless.value.size).toBe(0);
  has("Night Ferry");
  expect([...homeless.value]).toEqual([["Old Quay", 2]]);
  expect(unsent.value.map(hasHome)).toEqual([false, true, false]);
  giveTo("Old Quay", "Night Ferry");
  expect(homeless.value.size).toBe(0);
  has("Old Quay");
  throwAway("Night Ferry");
  expect(waiting()).toEqual([]);
});
