/** What is worked out about a routine is held against the slow, obvious version in tests/reference. */
import { expect, test } from "vitest";
import { describeJson } from "../../server/facts/describe.ts";
import { compile } from "../../server/routine/compile.ts";
import { referenceFacts } from "../reference/describe.ts";
import { holds } from "../reference/laws.ts";
import { routines } from "../reference/random.ts";
import { difference } from "../reference/same.ts";

const measured = new Set(["seconds", "moveDegrees", "speed", "driftDegrees"]);
const isMeasured = (field: string) => measured.has(field);
/** Moves and cells in a combined length that the reference plays out. */
const MOST = 400;

type Ref = { to: { section: string; placement: number } };
const byPlace = <Join extends Ref>(joins: readonly Join[]) =>
  [...joins].sort((a, b) => a.to.section.localeCompare(b.to.section) || a.to.placement - b.to.placement);

test("of a random routine, what is worked out is what the design says", () => {
  holds("describe", 60, routines, (routine) => {
    const got = describeJson(routine, compile(routine));
    const expected = referenceFacts(routine, MOST);
    const patterns = got.patterns.map((pattern, n) =>
      Object.fromEntries(
        Object.keys(expected.patterns[n] ?? {}).map((key) => [key, pattern[key as keyof typeof pattern]]),
      ),
    );
    expect(difference(patterns, expected.patterns, isMeasured)).toBe(null);
    expect(difference(got.placements, expected.placements, isMeasured)).toBe(null);
    const plain = expected.joins.map(({ arrival, ...join }) => join);
    expect(difference(byPlace(got.joins), byPlace(plain), isMeasured)).toBe(null);
    const arrivals = got.joins.map(
      ({ to }) =>
        expected.joins.find((join) => join.to.section === to.section && join.to.placement === to.placement)!
          .arrival,
    );
    expect(arrivals.every((arrival, n) => n === 0 || arrivals[n - 1]! <= arrival)).toBe(true);
  });
});
