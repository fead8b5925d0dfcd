/** What a change of a whole hand does is held against the server's own reading of cells and strokes. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fraction, fractionText } from "../../schemas/fraction.ts";
import { STEPS } from "../../client/parts/music.ts";
import { gateOf } from "../../client/write/phrase.ts";
import { countedIn, mirrored, shifted, stretched, turned, twice } from "../../client/write/wholeHand.ts";
import type { Cell, Pattern, Stroke } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { cellLengths, faderRound, openingsOf } from "../../server/hands/fader.ts";
import { recordRound } from "../../server/hands/record.ts";
import { holds } from "../reference/laws.ts";

const pattern = (cells: readonly Cell[], strokes: readonly Stroke[] = [{ move: "forward" }]): Pattern => ({
  id: "p",
  record: { step: "1/16", strokes },
  fader: { step: "1/16", cells },
});
const length = fc.constantFrom(2, 3, "1/2", "3/2", "4/3");
const times = fc.constantFrom(2, 3);
/** All but what the fader does may be left out. */
const only = { requiredKeys: ["fader"] as ["fader"] };
const cell: fc.Arbitrary<Cell> = fc.oneof(
  fc.record({ fader: fc.constantFrom("open", "closed"), length }, only),
  fc.record({ fader: fc.constant("click"), length, times, closedFor: fc.constantFrom("1/8", "1/3") }, only),
  fc.record({ fader: fc.constant("pulse"), length, times, openFor: fc.constantFrom("1/8", "1/6") }, only),
);
const cells = fc.array(cell, { minLength: 1, maxLength: 7 });

/** What is open in a window of the endless repetition, from the window's start. */
function openIn(of: Pattern, from: number, to: number): readonly { start: number; end: number }[] {
  return openingsOf(faderRound(of.fader), 0 as Units, (to * 2) as Units)
    .map(({ start, end }) => ({ start: Math.max(start, from) - from, end: Math.min(end, to) - from }))
    .filter(({ start, end }) => start < end);
}

describe("the fader hand shifted against the record", () => {
  it("sounds as before, so much later or earlier", () => {
    const steps = fc.constantFrom([1, 1], [-1, 1], [2, 1], [1, 2], [-3, 2], [7, 1]);
    holds("shifted", 300, fc.tuple(cells, steps), ([some, [n, d]]) => {
      const before = pattern(some);
      const after = shifted(before, fraction(n!, d!));
      const round = faderRound(before.fader).length;
      const by = (faderRound(before.fader).step * n!) / d!;
      expect(faderRound(after.fader).length).toBe(round);
      expect(openIn(after, 12 * round + by, 15 * round + by)).toEqual(openIn(before, 12 * round, 15 * round));
    });
  });

  it("keeps whole cells whole, and writes a cut one in parts", () => {
    const some: Cell[] = [{ fader: "click" }, { fader: "open", length: 2 }, { fader: "pulse" }];
    expect(shifted(pattern(some), fraction(1)).fader.cells).toEqual([some[2], some[0], some[1]]);
    expect(shifted(pattern(some), fraction(2)).fader.cells).toEqual([
      { fader: "open" },
      { fader: "pulse" },
      { fader: "click" },
      { fader: "open" },
    ]);
    expect(shifted(pattern(some), fraction(4))).toEqual(pattern(some));
  });
});

describe("another step", () => {
  it("of the same count sounds the same", () => {
    holds("counted in", 300, fc.tuple(cells, fc.constantFrom(...STEPS)), ([some, step]) => {
      const before = pattern(some, [
        { move: "forward", length: "3/2" },
        { move: "hold" },
        { move: "back", times: 2 },
      ]);
      const after = countedIn(countedIn(before, "fader", step), "record", step);
      expect(after.fader.step).toBe(step);
      const round = faderRound(before.fader).length;
      expect(openIn(after, 2 * round, 4 * round)).toEqual(openIn(before, 2 * round, 4 * round));
      expect(recordRound(after.record).moves).toEqual(recordRound(before.record).moves);
    });
  });

  it("half as long plays twice as fast", () => {
    const before = pattern([{ fader: "click" }, { fader: "open" }]);
    const after = stretched(before, "fader", fraction(1, 2));
    expect(after.fader.step).toBe("1/32");
    expect(faderRound(after.fader).length * 2).toBe(faderRound(before.fader).length);
  });
});

describe("the record hand", () => {
  const strokes: Stroke[] = [{ move: "forward", travel: 90 }, { move: "hold", length: 2 }, { move: "back" }];

  it("turns in its cycle and comes back", () => {
    expect(turned(pattern([{ fader: "open" }], strokes), "record", 1).record.strokes).toEqual([
      strokes[1],
      strokes[2],
      strokes[0],
    ]);
    const round = turned(turned(pattern([{ fader: "open" }], strokes), "record", 2), "record", -5);
    expect(round.record.strokes).toEqual(strokes);
  });

  it("mirrored twice is itself, and a released stroke becomes one that a hand can do", () => {
    const before = pattern([{ fader: "open" }], strokes);
    expect(mirrored(before).record.strokes.map(({ move }) => move)).toEqual(["back", "hold", "forward"]);
    expect(mirrored(mirrored(before))).toEqual(before);
    const released = pattern([{ fader: "open" }], [{ move: "forward", shape: "released", length: 4 }]);
    expect(mirrored(released).record.strokes).toEqual([{ move: "back", length: 4 }]);
  });

  it("written out twice goes on as before", () => {
    const after = twice(pattern([{ fader: "open" }], strokes), "record");
    expect(after.record.strokes).toEqual([...strokes, ...strokes]);
  });
});

it("says how long a gate is where nothing is said, as the server does", () => {
  holds("gates", 200, cell, (one) => {
    if (one.fader !== "click" && one.fader !== "pulse") return;
    const { closed, openFor } = cellLengths("1/16", one);
    const said = cellLengths("1/16", { fader: "open", length: fractionText(gateOf(one)) }).length;
    expect(said).toBe(one.fader === "click" ? closed : openFor);
  });
});
