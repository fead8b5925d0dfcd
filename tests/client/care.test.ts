import { expect, onTestFinished, test } from "vitest";
import { moves, pauseDue, pauseTaken, worked } from "../../client/rehearse/care.ts";
import { pauses } from "../../client/rehearse/settings.ts";

const MINUTE = 60_000;

test("a pause is proposed by time and by what the hands did, counted anew after one, and can be silenced", () => {
  worked(100, 0);
  for (let minute = 1; minute < 20; minute++) worked(100, minute * MINUTE);
  expect(pauseDue.value).toBe(null);
  worked(100, 20 * MINUTE);
  expect(pauseDue.value).toBe(
    "20 minutes and 2,100 strokes and clicks without a pause. Let the hands hang for a few minutes.",
  );
  // Three minutes without playing are a pause.
  worked(50, 23.5 * MINUTE);
  expect([pauseDue.value, moves.value]).toEqual([null, 50]);
  worked(6_000, 24 * MINUTE);
  expect(pauseDue.value).toContain("6,050 strokes and clicks");
  const before = pauses.value;
  onTestFinished(() => {
    pauses.value = before;
  });
  pauses.value = { minutes: 0, moves: 0 };
  expect(pauseDue.value).toBe(null);
  pauseTaken();
  expect(moves.value).toBe(0);
});
