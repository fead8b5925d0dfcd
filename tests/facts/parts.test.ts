import { describe, expect, it } from "vitest";
import type { Pattern } from "../../schemas/routine.ts";
import { describedAs } from "../../server/facts/described.ts";
import { partsOf } from "../../server/facts/parts.ts";
import { pattern } from "./notation.ts";

const parts = (phrase: Pattern, beside: readonly Pattern[] = []) =>
  partsOf(phrase, beside).map(({ name, from, to }) => `${name} ${from}-${to}`);

describe("inside a longer phrase", () => {
  it("finds a run of babies, also of half steps", () => {
    expect(parts(pattern("F B F B H4", "o8"))).toEqual(["baby 0-4"]);
    expect(parts(pattern("H F1/2 B1/2 H3", "o5"))).toEqual(["baby 1-2"]);
    expect(parts(pattern("F B F B H4", "o3 x o4"))).toEqual(["baby 0-3"]);
  });

  it("finds a tear, with a rest in it, but none under a fader that shuts", () => {
    expect(parts(pattern("H2 F F B'90 H3", "o8"))).toEqual(["tear 2-5"]);
    expect(parts(pattern("H2 F H F B'90 H2", "o8"))).toEqual(["tear 2-6"]);
    expect(parts(pattern("H2 F F B'90 H3", "o3 x o4"))).toEqual([]);
    expect(parts(pattern("H2 F F B2'45 H2", "o7"))).toEqual([]);
    // The turn inside a tear is no baby of its own.
    expect(parts(pattern("H2 F F B B H3", "o9"))).toEqual(["tear 2-6"]);
  });

  it("finds a chirp and a transform", () => {
    expect(parts(pattern("F2 B2 H4", "o x2 o x4"))).toEqual(["chirp 0-4"]);
    expect(parts(pattern("H F4 H3", "x2 o x1/2 o x7/2"))).toEqual(["transform 1-5"]);
  });

  it("does not repeat what the whole phrase is", () => {
    expect(parts(pattern("F B", "o"))).toEqual([]);
  });

  it("finds the user's other patterns, once through from their start, openings and all", () => {
    const swell = pattern("F F B'90", "o x o", { id: "swell", name: "Swell" });
    expect(parts(pattern("F F B'90 H F F B'90 H", "o x o x o o o x"), [swell])).toEqual([
      "Swell 0-3",
      "tear 4-7",
    ]);
    expect(parts(pattern("F F B'90 F F B'90 H", "o x o o x o x"), [swell])).toEqual(["Swell 0-6"]);
    expect(parts(pattern("F F B'91 H", "o x o x"), [swell])).toEqual([]);
  });
});

describe("plain descriptions", () => {
  it("counts how often a stroke that starts and ends open is shut within", () => {
    expect(describedAs(pattern("F2 B2", "o1/2 x1/2 o o1/2 x1/2 o"))).toEqual(["1 click a stroke"]);
    expect(describedAs(pattern("F4 B2", "o1/2 x1/2 o x1/2 o3/2 o2"))).toEqual(["2 clicks a stroke"]);
    expect(describedAs(pattern("F2 B2", "x1/2 o x1/2"))).toEqual([]);
  });

  it("names the rolls of split cells, not of strokes", () => {
    expect(describedAs(pattern("H5", "c2*3 p2*4 x"))).toEqual(["roll of 3", "roll of 4"]);
    expect(describedAs(pattern("F*3", "o"))).toEqual([]);
  });
});
