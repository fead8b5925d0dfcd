import { describe, expect, it } from "vitest";
import type { Pattern } from "../../schemas/routine.ts";
import { tradeNames, tradeNamesAt } from "../../server/facts/names.ts";
import { pattern } from "./notation.ts";
import { described, routine, section } from "./routines.ts";

describe("settled trade names", () => {
  it.each([
    ["one forward and one back under an open fader", "F B", "o", ["baby"]],
    ["the same from the other point of the cycle", "B F", "o", ["baby"]],
    ["the same written twice over", "F B F B", "o o o", ["baby"]],
    ["the same as a split stroke", "F4*8", "o", ["baby"]],
    ["babies are equally long", "F2 B", "o", []],
    ["and equally far", "F B'90", "o", []],
    ["and not released", "R B", "o", []],
    ["and nothing but a forward and a back", "F B H", "o", []],
    ["and open throughout: a click shuts", "F B", "c", []],
    ["a forward in two strokes, the back in one", "F F B'90", "o", ["tear"]],
    ["both in two", "B B F F", "o", ["tear"]],
    ["a rest within the forward", "F H F B'90", "o", ["tear"]],
    ["a tear does not drift", "F F B", "o", []],
    ["a tear goes both ways", "F F", "o", []],
    ["open, closed over the turn, open again", "F2 B2", "o x2 o", ["chirp"]],
    ["the same from the back on", "B2 F2", "x o2 x", ["chirp"]],
    ["a chirp opens with the forward: here the back does", "B2 F2", "o x2 o", []],
    ["a click at the start of the forward shuts the end of the back", "F2 B2", "c x2 o", []],
    [
      "a forward closed at both ends and opened twice, the back unheard",
      "F4 B2",
      "x o1/2 x1/2 o x x2",
      ["transform"],
    ],
    ["a released record opened twice", "R4", "x o1/2 x1/2 o x", ["transform"]],
    ["once is no transform", "R4", "x o2 x", []],
    ["nor is one stroke of two", "F4 B4", "x o x1/2 o x1/2 x o2 x", []],
    [
      "a fader round of its own length that opens it twice in some rounds and once in others",
      "R3",
      "x o x x o x x x x o x x",
      [],
    ],
    ["nothing heard has no name", "F B", "x", []],
  ] as const)("%s: %s under %s is %j", (_, strokes, cells, names) => {
    expect(tradeNames(pattern(strokes, cells))).toEqual(names);
  });

  it("calls a baby a scribble from eight moves a second on, up to 45 degrees", () => {
    // A sixteenth at 120 is an eighth of a second.
    expect(tradeNamesAt(pattern("F B", "o"), 120)).toEqual(["baby", "scribble"]);
    expect(tradeNamesAt(pattern("F B", "o"), 119.99)).toEqual(["baby"]);
    expect(tradeNamesAt(pattern("F'45.1 B'45.1", "o"), 120)).toEqual(["baby"]);
    expect(tradeNamesAt(pattern("F4*16", "o"), 30)).toEqual(["baby", "scribble"]);
    expect(tradeNamesAt(pattern("F F B B", "o"), 400)).toEqual(["tear"]);
  });
});

describe("names of the patterns of a routine", () => {
  const named = (patterns: readonly Pattern[], tempo = 93) =>
    described(
      routine(patterns, [section([{ pattern: (patterns[0] as Pattern).id, bar: 1 }], { tempo })]),
    ).patterns.map(({ names }) => names);

  it("says scribble where the tempo of every placement makes it one", () => {
    expect(named([pattern("F B", "o")], 120)).toEqual([["baby", "scribble"]]);
    expect(named([pattern("F B", "o")], 93)).toEqual([["baby"]]);
    const two = routine(
      [pattern("F B", "o")],
      [
        section([{ pattern: "phrase", bar: 1 }], { tempo: 120 }),
        section([{ pattern: "phrase", bar: 1 }], { id: "slow", tempo: { from: 120, to: 100 } }),
      ],
    );
    expect(described(two).patterns[0]?.names).toEqual(["baby"]);
  });

  it("lists the user's other patterns that are the same phrase, from whatever point they start", () => {
    expect(
      named([
        pattern("F F B'90", "c o x", { id: "a", name: "Swell" }),
        pattern("F B'90 F", "o x c", { id: "b" }),
        pattern("F B'90 F F B'90 F", "o x c", { id: "c", name: "Twice" }),
        pattern("F B'90 F", "c o x", { id: "d", name: "Shifted against the fader" }),
        pattern("F F B'91", "c o x", { id: "e", name: "Further back" }),
      ]),
    ).toEqual([["b", "Twice"], ["Swell", "Twice"], ["Swell", "b"], [], []]);
  });

  it("goes by when the fader is open, not by how the cells are written", () => {
    expect(named([pattern("F B H", "o o x", { id: "a" }), pattern("F B H", "o2 x", { id: "b" })])).toEqual([
      ["b"],
      ["a"],
    ]);
  });
});
