import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { cellsText, readCells, readStrokes, strokesText } from "../../client/write/entry.ts";
import type { Cell, Stroke } from "../../schemas/routine.ts";
import { holds } from "../reference/laws.ts";

describe("a phrase as a line of plain words", () => {
  it("takes a bare number as degrees after a move, and as steps after a hold or a cell", () => {
    expect(readStrokes("forward, back 90, hold 2")).toEqual({
      items: [{ move: "forward" }, { move: "back", travel: 90 }, { move: "hold", length: 2 }],
    });
    expect(readCells("click 3/2, closed 2")).toEqual({
      items: [
        { fader: "click", length: "3/2" },
        { fader: "closed", length: 2 },
      ],
    });
  });

  it("takes hours, steps, shapes, splits and openings in any order", () => {
    expect(readStrokes("Forward even 2 steps 3 hours 4 times")).toEqual({
      items: [{ move: "forward", length: 2, travel: 90, shape: "even", times: 4 }],
    });
    expect(readCells("pulse 2 times open for 1/4, click closed for 1/8")).toEqual({
      items: [
        { fader: "pulse", times: 2, openFor: "1/4" },
        { fader: "click", closedFor: "1/8" },
      ],
    });
  });

  it("says which place is not understood", () => {
    expect(readStrokes("forward, sideways")).toEqual({
      trouble: "In 2nd place: “sideways” is none of forward, back, hold.",
      from: 8,
      to: 17,
    });
    expect(readCells("open, click 0")).toEqual({
      trouble: "In 2nd place: “0” is no length in steps.",
      from: 5,
      to: 13,
    });
    expect(readCells("open 90 degrees")).toEqual({
      trouble: "In 1st place: a cell has no travel and no shape: those are the record hand’s.",
      from: 0,
      to: 15,
    });
    expect(readStrokes("forward, , back")).toMatchObject({ from: 8, to: 9 });
    expect(readStrokes(`${"back, ".repeat(20)}aside`)).toMatchObject({
      trouble: "In 21st place: “aside” is none of forward, back, hold.",
    });
  });

  it("refuses what a hold, a released stroke or a plain cell cannot have", () => {
    for (const text of [
      "hold 90 degrees",
      "hold even",
      "hold 2 times",
      "back released",
      "forward released 90",
    ])
      expect(readStrokes(text), text).toHaveProperty("trouble");
    for (const text of [
      "open 2 times",
      "closed closed for 1/4",
      "click open for 1/2",
      "pulse closed for 1/8",
    ])
      expect(readCells(text), text).toHaveProperty("trouble");
    expect(readStrokes("forward 65 times")).toHaveProperty("trouble");
  });

  it("reads back whatever it writes", () => {
    const length = fc.oneof(fc.integer({ min: 2, max: 99 }), fc.constantFrom("1/2", "3/2", "7/3"));
    const times = fc.integer({ min: 2, max: 64 });
    const stroke: fc.Arbitrary<Stroke> = fc.record(
      {
        move: fc.constantFrom("forward", "back"),
        length,
        travel: fc.constantFrom(15, 22.5, 90, 3600),
        shape: fc.constant("even"),
        times,
      },
      { requiredKeys: ["move"] },
    );
    const only = { requiredKeys: ["fader"] as ["fader"] };
    const cell: fc.Arbitrary<Cell> = fc.oneof(
      fc.record({ fader: fc.constantFrom("open", "closed"), length }, only),
      fc.record({ fader: fc.constant("click"), length, times, closedFor: length }, only),
      fc.record({ fader: fc.constant("pulse"), length, times, openFor: length }, only),
    );
    const few = { minLength: 1, maxLength: 9 };
    const lines = fc.tuple(fc.array(stroke, few), fc.array(cell, few));
    holds("lines of words", 100, lines, ([strokes, cells]) => {
      expect(readStrokes(strokesText(strokes))).toEqual({ items: strokes });
      expect(readCells(cellsText(cells))).toEqual({ items: cells });
    });
  });
});
