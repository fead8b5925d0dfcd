import { describe, expect, it } from "vitest";
import {
  countedOn,
  cycleOf,
  lateness,
  onGrid,
  rhythmOf,
  spreadOn,
  type Tap,
} from "../../client/write/tap/taps.ts";

const STEP = 100;
const BAR = 1600;
const tap = (at: number, name: Tap["name"] = null, until: number | null = null): Tap => ({ at, name, until });
const wish = { step: STEP, bar: BAR, late: 0, from: "tap", length: null } as const;

describe("taps over a beat", () => {
  it("go to the nearest step, with how far they were off", () => {
    expect(onGrid(1240, STEP)).toEqual({ steps: 12, off: 40 });
    expect(onGrid(1260, STEP)).toEqual({ steps: 13, off: -40 });
    expect(onGrid(-30, STEP)).toEqual({ steps: 0, off: -30 });
  });

  it("are counted on through the rounds of a loop", () => {
    expect(countedOn(50, 1600, 1640)).toBe(1650);
    expect(countedOn(1590, 1600, 1610)).toBe(1590);
    expect(countedOn(300, 1600, 5000)).toBe(5100);
  });

  it("that are all late by the same are so by nothing once that is taken off", () => {
    const taps = [tap(30), tap(230), tap(530)];
    expect(lateness(taps, STEP)).toBe(30);
    expect(spreadOn(taps, STEP)).toBe(0);
    expect(rhythmOf(taps, { ...wish, late: 30 })!.placed.map(({ off }) => off)).toEqual([0, 0, 0]);
  });

  it("make a cycle that the last one closes", () => {
    const rhythm = rhythmOf([tap(410), tap(590), tap(900)], wish)!;
    expect(rhythm.length).toBe(5);
    expect(rhythm.placed.map(({ step, spare }) => [step, spare])).toEqual([
      [0, false],
      [2, false],
      [0, true],
    ]);
    expect(cycleOf(rhythm, "record", "next", STEP)).toEqual([
      { move: "forward", length: 2 },
      { move: "back", length: 3 },
    ]);
  });

  it("make whole bars from the bar line before them, with a rest at the start", () => {
    const rhythm = rhythmOf([tap(2000), tap(2800)], { ...wish, from: "bar" })!;
    expect(rhythm.length).toBe(16);
    expect(cycleOf(rhythm, "fader", "next", STEP)).toEqual([
      { fader: "closed", length: 4 },
      { fader: "click", length: 8 },
      { fader: "click", length: 4 },
    ]);
  });

  it("fold into as many steps as are asked for, those of later rounds counting once", () => {
    const rhythm = rhythmOf([tap(0), tap(300), tap(802), tap(1097), tap(1200)], { ...wish, length: 8 })!;
    expect(rhythm.placed.map(({ step, spare }) => [step, spare])).toEqual([
      [0, false],
      [3, false],
      [0, true],
      [3, true],
      [4, false],
    ]);
  });

  it("last as long as they were held, and then rest", () => {
    const rhythm = rhythmOf([tap(0, "open", 190), tap(400, null, 810), tap(600)], { ...wish, length: 6 })!;
    expect(cycleOf(rhythm, "fader", "held", STEP)).toEqual([
      { fader: "open", length: 2 },
      { fader: "closed", length: 2 },
      { fader: "open", length: 2 },
    ]);
  });

  it("keep the moves that were named, and alternate where none was", () => {
    const taps = [tap(0, "back"), tap(100), tap(200, "hold"), tap(300), tap(400)];
    expect(cycleOf(rhythmOf(taps, wish)!, "record", "next", STEP)).toEqual([
      { move: "back" },
      { move: "forward" },
      { move: "hold" },
      { move: "back" },
    ]);
  });

  it("make no cycle of one place", () => {
    expect(rhythmOf([], wish)).toBeNull();
    expect(rhythmOf([tap(410), tap(430)], wish)).toBeNull();
  });
});
