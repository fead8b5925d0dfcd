/** Rounds that are judged, and a tempo that is set by hand between. */
import { beforeEach, expect, test } from "vitest";
import type { Part } from "../../client/rehearse/drills.ts";
import { climbs, judgeRound, rounds, shiftTempo, tallies, tempoOf } from "../../client/rehearse/rounds.ts";
import { startOf } from "../../client/rehearse/climb.ts";
import { drill } from "../../client/rehearse/settings.ts";
import { DRILL } from "../../schemas/drill.ts";

const part = { key: "wake", name: "Wake", tempo: 92 } as Part;
const begin = (number: number): void => {
  const round = { number, speed: tempoOf(part) / 100 } as (typeof rounds.value)[number]["round"];
  rounds.value = [
    ...rounds.value,
    { frame: 0, round, part, judged: null, climb: climbs.value.get(part.key) ?? startOf(DRILL.climb) },
  ];
};
const judge = (number: number, judged: "good" | "bad"): void => judgeRound(rounds.value[number]!, judged);

beforeEach(() => {
  // From 60 %, 5 % up after 2 good rounds, 5 % down after 2 bad ones, at most 105 %.
  drill.value = DRILL;
  rounds.value = [];
  climbs.value = new Map();
  tallies.value = new Map();
});

test("a tempo that is set by hand while a round is heard stays, however that round is judged", () => {
  begin(0);
  shiftTempo(part, 5);
  judge(0, "good");
  expect(tempoOf(part)).toBe(65);
  judge(0, "bad");
  expect(tempoOf(part)).toBe(65);
  expect(tallies.value.get("wake")).toMatchObject({ good: 0, bad: 1, reached: null, failedAt: 60 });
  // From there the climb counts anew: two good rounds, not one.
  begin(1);
  judge(1, "good");
  expect(tempoOf(part)).toBe(65);
  begin(2);
  judge(2, "good");
  expect(tempoOf(part)).toBe(70);
});

test("a slip of the key is mended: the round counts once, and the tempo is as if it had been judged so at once", () => {
  begin(0);
  judge(0, "good");
  begin(1);
  judge(1, "good");
  expect(tempoOf(part)).toBe(65);
  judge(1, "bad");
  expect(tempoOf(part)).toBe(60);
  expect(tallies.value.get("wake")).toMatchObject({ good: 1, bad: 1, reached: 60, failedAt: 60 });
});
