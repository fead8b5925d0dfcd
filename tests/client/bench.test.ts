import { describe, expect, it } from "vitest";
import { boxesOf, foundAt, spotsOf, stepsDragged } from "../../client/write/benchPlaces.ts";
import { barUnits } from "../../client/parts/music.ts";
import { ROW, rowHeight } from "../../client/rows/metrics.ts";
import type { Pattern } from "../../schemas/routine.ts";

const pattern: Pattern = {
  id: "p",
  record: {
    step: "1/16",
    strokes: [
      { move: "forward", length: 3 },
      { move: "back", length: 2 },
    ],
  },
  fader: { step: "1/24", cells: [{ fader: "click" }, { fader: "open", length: "3/2" }] },
};
const bench = { bars: 2, bar: barUnits("4/4"), width: 1600 };
const middle = (hand: "record" | "fader", from: number, to: number) => {
  const [box] = boxesOf(bench, hand, from, to);
  return { x: box!.left + box!.width / 2, y: box!.top + box!.height / 2 };
};

describe("the rows of a phrase under a pointer", () => {
  it("find each stroke and cell in the middle of its own box, in every round", () => {
    for (const hand of ["record", "fader"] as const) {
      const spots = spotsOf(pattern, hand);
      const cycle = spots.at(-1)!.to;
      for (const round of [0, 1, 2])
        for (const { index, from, to } of spots)
          expect(foundAt(pattern, bench, middle(hand, from + round * cycle, to + round * cycle), 7)).toEqual({
            hand,
            index,
            round,
            edge: false,
          });
    }
  });

  it("take hold of the nearest end", () => {
    const y = middle("record", 0, 1).y;
    // A sixteenth is 100 pixels: the first stroke ends at 300.
    expect(foundAt(pattern, bench, { x: 295, y }, 7)).toEqual({
      hand: "record",
      index: 0,
      round: 0,
      edge: true,
    });
    expect(foundAt(pattern, bench, { x: 305, y }, 7)).toEqual({
      hand: "record",
      index: 0,
      round: 0,
      edge: true,
    });
    expect(foundAt(pattern, bench, { x: 503, y }, 7)).toEqual({
      hand: "record",
      index: 1,
      round: 0,
      edge: true,
    });
    expect(foundAt(pattern, bench, { x: 3, y }, 7)).toEqual({
      hand: "record",
      index: 0,
      round: 0,
      edge: false,
    });
  });

  it("find nothing between the hands' tracks and below the last bar", () => {
    expect(foundAt(pattern, bench, { x: 100, y: 2 }, 7)).toBeNull();
    const third = middle("record", 0, 1).y + 2 * rowHeight(ROW, 1);
    expect(foundAt(pattern, bench, { x: 100, y: third }, 7)).toBeNull();
    expect(foundAt(pattern, { ...bench, bars: 3 }, { x: 100, y: third }, 7)).not.toBeNull();
  });

  it("cut a box at the bar line", () => {
    const boxes = boxesOf(bench, "record", bench.bar * 0.75, bench.bar * 1.25);
    expect(boxes.map(({ left, width }) => [left, width])).toEqual([
      [1200, 400],
      [0, 400],
    ]);
  });

  it("move an end in a later round by that much in all rounds before it together", () => {
    expect(stepsDragged(pattern, "record", bench, 200, 0)).toBeCloseTo(2);
    expect(stepsDragged(pattern, "record", bench, 200, 1)).toBeCloseTo(1);
  });
});
