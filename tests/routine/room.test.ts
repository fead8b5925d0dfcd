/** Files of a few lines that ask for more than can be held are told so before anything is laid out. */
import { describe, expect, test } from "vitest";
import type { Beat, Pattern, PatternPlacement, Routine } from "../../schemas/routine.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { createWorker, isWorked } from "../../server/live/worked.ts";
import { beatLength, compileBeat } from "../../server/routine/beat.ts";
import { compile } from "../../server/routine/compile.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { handsRoom } from "../../server/routine/room.ts";

/** One unit of the clock. */
const FINEST = `1/${UNITS_PER_WHOLE}`;
const CLICK: Pattern["fader"] = { step: "1/16", cells: [{ fader: "click" }] };
const BABY: Pattern["record"] = { step: "1/16", strokes: [{ move: "forward" }, { move: "back" }] };
const CLOSED_FINEST: Pattern["fader"] = { step: FINEST, cells: [{ fader: "closed" }] };
const EVERY_SIXTEENTH: Beat = { id: "engine-room", step: "1/16", steps: 1, hits: [{ key: 42, at: [0] }] };

const routine = (
  hands: Omit<Pattern, "id">,
  placements: readonly Partial<PatternPlacement>[] = [{}],
  beat: Beat = EVERY_SIXTEENTH,
): Routine => ({
  format: "countercut-routine",
  version: 1,
  title: "Night Ferry",
  patterns: [{ id: "swell", ...hands }],
  beats: [beat],
  sections: [
    {
      id: "cast-off",
      bars: 4,
      meter: "4/4",
      tempo: 93,
      beat: beat.id,
      placements: placements.map((one) => ({ pattern: "swell", bar: 1, ...one })),
    },
  ],
});
const found = (file: Routine) => parseRoutine(JSON.stringify(file)).problems;

describe("what cannot be held is refused", () => {
  const tooMuch = (index: number) => ({
    code: "out-of-range",
    severity: "error",
    place: `/sections/0/placements/${index}`,
    message:
      "cast-off, bar 1: here the routine has more strokes, openings and sounds than can be held. Shorten it, or split less finely.",
  });

  test.each([
    ["strokes", { record: { ...BABY, step: FINEST }, fader: CLICK }],
    ["clicks", { record: BABY, fader: { ...CLICK, step: FINEST } }],
    ["rounds of a fader that stays closed", { record: BABY, fader: CLOSED_FINEST }],
    [
      "rounds of a fader that stays open",
      { record: BABY, fader: { step: FINEST, cells: [{ fader: "open" }] } },
    ],
  ] as const)("%s", (_, hands) => {
    expect(found(routine(hands))).toEqual([tooMuch(0)]);
  });

  test("each placement that is too much, and none that there is room for", () => {
    const hands = { record: BABY, fader: CLOSED_FINEST };
    const players = [{}, { player: 2, lasts: { steps: 1 } }, { player: 3 }];
    // A sixteenth is 302,702,400 rounds, which is too much; of a 512th there is room for one.
    expect(found(routine(hands, players))).toEqual([tooMuch(0), tooMuch(1), tooMuch(2)]);
    const shorter = { record: { ...BABY, step: "1/512" }, fader: CLOSED_FINEST };
    expect(found(routine(shorter, players))).toEqual([tooMuch(0), tooMuch(2)]);
  });

  test("hits of a beat, at the section's beat", () => {
    const beat = { ...EVERY_SIXTEENTH, step: FINEST };
    expect(found(routine({ record: BABY, fader: CLICK }, [{}], beat))).toEqual([
      {
        code: "out-of-range",
        severity: "error",
        place: "/sections/0/beat",
        message:
          "cast-off: here the beats have more hits than can be held. Shorten the section, or give its beat longer steps.",
      },
    ]);
  });
});

test("a lead-in is no longer than a section", () => {
  const hands = { record: BABY, fader: CLICK };
  const pickup = (bar: number, at = "0") => found(routine(hands, [{ bar, at, lasts: { bars: 1 } }]));
  expect(pickup(-998)).toEqual([]);
  expect(pickup(-999, "15/16").map(({ message }) => message)).toEqual([
    "cast-off, pickup bar -999: a lead-in for this pickup would have 1,000 bars; it has at most 999. Start it later.",
  ]);
  expect(pickup(-499_999)).toEqual([
    {
      code: "out-of-range",
      severity: "error",
      place: "/sections/0/placements/0/bar",
      message:
        "cast-off, pickup bar -499999: a lead-in for this pickup would have 500,000 bars; it has at most 999. Start it later.",
    },
  ]);
});

test("the longest routine of sixteenths, each with a click and a hit, can be held", () => {
  const { sections, ...rest } = routine({ record: BABY, fader: CLICK });
  const long = Array.from({ length: 500 }, (_, index) => ({
    ...sections[0]!,
    id: `part-${index}`,
    bars: 999,
  }));
  expect(found({ ...rest, sections: long })).toEqual([]);
});

test("a beat without hits has none, however short its rounds", () => {
  const silent = { ...EVERY_SIXTEENTH, step: FINEST, hits: [{ key: 36, at: [] }] };
  expect(beatLength(silent)).toBe(1);
  // Its rounds are never gone through: they would be 4,843,238,400 in a bar.
  const bar = UNITS_PER_WHOLE;
  expect(compileBeat(silent, 0, bar, bar)).toEqual([]);
});

test.each([
  [{}, "1/16", [{ fader: "click" }]],
  [{ recordFrom: 1, faderFrom: 1 }, "1/12", [{ fader: "click" }, { fader: "open" }, { fader: "open" }]],
  [{ faderFrom: 2 }, "1/32", [{ fader: "pulse" }, { fader: "closed" }, { fader: "click", times: 3 }]],
  [{}, "1/20", [{ fader: "open" }, { fader: "closed" }, { fader: "open" }]],
  [{}, "1/24", [{ fader: "open" }]],
] as const)("room is reckoned from as many as are laid out: %#", (from, step, cells) => {
  const file = routine({ record: BABY, fader: { step, cells } }, [from]);
  const { strokes, openings, sounds } = compile(file).sections[0]!.performance;
  const { patterns, sections } = file;
  const room = handsRoom(patterns[0]!, sections[0]!.placements[0] as PatternPlacement, 4 * UNITS_PER_WHOLE);
  const least = 224 * strokes.length + 128 * sounds.length + 64 * openings.length;
  // The last opening is cut; each round has something for its mark, or for going through its cells.
  expect(room).toBeGreaterThan(least - (128 + 64));
  expect(room).toBeLessThan(1.5 * least);
});

test("what an error leaves out makes no room for more than can be held: such a routine is not worked out", () => {
  const hands = { record: BABY, fader: CLOSED_FINEST };
  // The first lasts until the second, which is left out as it runs past the section's end.
  const file = routine(hands, [{}, { at: FINEST, lasts: { bars: 4 } }]);
  expect(found(file).map(({ code, place }) => `${code} ${place}`)).toEqual([
    "past-section-end /sections/0/placements/1",
    "out-of-range /sections/0/placements/1",
  ]);
  const worked = createWorker()(file);
  expect(isWorked(worked)).toBe(false);
});

test("without the beat that cannot be held, and without each such placement, the rest is worked out", () => {
  const beat = { ...EVERY_SIXTEENTH, step: FINEST };
  const hands = { record: BABY, fader: CLOSED_FINEST };
  const file = routine(hands, [{}, { player: 2 }], beat);
  const worked = createWorker()(file);
  if (!isWorked(worked)) throw new Error("it was not worked out");
  expect(worked.leftOut).toEqual(["/sections/0/placements/0", "/sections/0/placements/1"]);
  const { beat: hits, strokes } = worked.performance.sections[0]!.performance;
  expect([hits, strokes]).toEqual([[], []]);
  expect(worked.routine.sections[0]?.beat).toBe(beat.id);
});
