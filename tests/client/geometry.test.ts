import { describe, expect, it } from "vitest";
import {
  blockHeight,
  blockOutline,
  bracketPath,
  cutOutline,
  positionAt,
  snap,
  xOf,
} from "../../client/rows/geometry.ts";
import { playheadPlace } from "../../client/rows/playhead.ts";
import { GUTTER } from "../../client/rows/metrics.ts";

const frame = { start: 1600, bar: 1600, width: 800 };

describe("bar rows", () => {
  it("put a bar's start at the left edge, its middle in the middle, its end at the right edge", () => {
    expect([1600, 2400, 3200].map((at) => xOf(frame, at))).toEqual([0, 400, 800]);
  });

  it("find the position under a pointer, row by row, and stay inside the section", () => {
    const rows = { count: 4, height: 100, bar: 1600, width: 800 };
    expect(positionAt({ x: 200, y: 150 }, rows)).toBe(2000);
    expect(positionAt({ x: -50, y: -50 }, rows)).toBe(0);
    expect(positionAt({ x: 900, y: 1000 }, rows)).toBe(6400);
  });

  it("snap to the nearest step, the middle to the later one", () => {
    expect([49, 50, -50, -51].map((at) => snap(at, 100))).toEqual([0, 100, 0, -100]);
  });

  it("point a forward block to the right and a back block to the left", () => {
    const forward = blockOutline("forward", 0, 100, 20, 16);
    const back = blockOutline("back", 0, 100, 20, 16);
    expect(forward.filter(({ x }) => x === 100)).toEqual([{ x: 100, y: 20 }]);
    expect(forward.filter(({ x }) => x === 0)).toHaveLength(2);
    expect(back.filter(({ x }) => x === 0)).toEqual([{ x: 0, y: 20 }]);
    expect(back.filter(({ x }) => x === 100)).toHaveLength(2);
  });

  it("cut a block at a bar line exactly, its area parted between the rows", () => {
    const area = (points: readonly { x: number; y: number }[]): number =>
      Math.abs(
        points.reduce((sum, { x, y }, index) => {
          const next = points[(index + 1) % points.length]!;
          return sum + x * next.y - next.x * y;
        }, 0) / 2,
      );
    const outline = blockOutline("forward", 0, 100, 20, 16);
    const parts = [cutOutline(outline, 0, 95), cutOutline(outline, 95, 100)];
    expect(parts[1]!.every(({ x }) => x >= 95)).toBe(true);
    expect(area(parts[0]!) + area(parts[1]!)).toBeCloseTo(area(outline), 9);
    expect(cutOutline(outline, 200, 300)).toEqual([]);
  });

  it("make faster moves higher, fill the track at six times and keep slow ones visible", () => {
    expect(blockHeight(6, 30)).toBe(30);
    expect(blockHeight(20, 30)).toBe(30);
    expect(blockHeight(1.5, 30)).toBe(15);
    expect(blockHeight(0, 30)).toBeCloseTo(6.6, 9);
  });

  it("leave a bracket open where its round goes on in another row", () => {
    expect(bracketPath(10, 50, 0, 9, { starts: true, ends: false, below: false })).toBe(
      "M11 9L11 1.5L50 1.5",
    );
    expect(bracketPath(0, 50, 0, 9, { starts: false, ends: true, below: false })).toBe(
      "M0 1.5L48 1.5L48 5.25",
    );
  });

  it("place the playhead by row and part of the bar, the lead-in's rows first", () => {
    const stack = { width: 800, bar: 1600, leadIn: 1, rowHeight: 100, below: 10, count: 5 };
    expect(playheadPlace(stack, 2000)).toEqual({ x: GUTTER + 200, y: 200 });
    expect(playheadPlace(stack, -800)).toEqual({ x: GUTTER + 400, y: 0 });
    expect(playheadPlace(stack, 6400)).toBeNull();
  });
});
