import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { beatOf } from "../../server/clips/read/beat.ts";
import { bendsLeftOut, type MidiContent, readMidi } from "../../server/clips/read/file.ts";
import { patternOf } from "../../server/clips/read/pattern.ts";
import { tempoMapOf, tempoOf } from "../../server/clips/read/tempoMap.ts";
import { compile } from "../../server/routine/compile.ts";

const ferry: Routine = {
  format: "countercut-routine",
  version: 1,
  title: "Fähre ⛴",
  patterns: [
    {
      id: "swell",
      record: { step: "1/16", strokes: [{ move: "forward" }, { move: "back" }] },
      fader: { step: "1/16", cells: [{ fader: "click" }, { fader: "open" }, { fader: "open" }] },
    },
  ],
  beats: [
    {
      id: "engine",
      step: "1/16",
      steps: 16,
      hits: [
        { key: 36, at: [0, 7, 10] },
        { key: 38, at: [4], velocity: 110 },
        { key: 38, at: [12], velocity: 90 },
      ],
    },
  ],
  sections: [
    {
      id: "quay",
      name: "Quay ✈",
      bars: 1,
      meter: "6/16",
      tempo: 93.4,
      placements: [{ pattern: "swell", bar: 1 }],
    },
    {
      id: "loop",
      bars: 1,
      meter: "4/4",
      tempo: 92,
      beat: "engine",
      swing: { of: "1/16", beat: 57 },
      placements: [],
    },
    { id: "climb", bars: 8, meter: "4/4", tempo: { from: 93, to: 97 }, placements: [] },
    { id: "sprint", bars: 4, meter: "7/8", tempo: 97, placements: [] },
  ],
};

const performance = compile(ferry);
const { files } = clipFiles(ferry, performance);
const read = (bytes: Uint8Array): MidiContent => {
  const content = readMidi(bytes);
  if ("problem" in content) throw new Error(content.problem);
  return content;
};
const fileOf = (section: number | null, strand: string | null): Uint8Array =>
  files.find((file) => file.section === section && file.strand === strand)!.bytes;

describe("a clip that was written is read again", () => {
  it("keeps a beat exactly, through swing, and says how far hits stood off their steps", () => {
    const result = beatOf(read(fileOf(1, "beat")), { id: "engine", step: "1/16" });
    if ("problem" in result) throw new Error(result.problem);
    expect(result.beat).toEqual(ferry.beats[0]);
    // The hit on step 7 is late by 14 % of a step, 33.6 ticks of 240, rounded to a tick.
    expect(result.error).toBeCloseTo(34 / 240, 10);
    expect(result.leftOut).toEqual([]);
  });

  it("keeps a pattern so that every sound is the same", () => {
    const result = patternOf(read(fileOf(null, null)), {
      id: "swell",
      step: "1/64",
      forward: 29,
      back: 30,
      fader: { controller: 11 },
    });
    if ("problem" in result) throw new Error(result.problem);
    const again = compile({
      ...ferry,
      patterns: [result.pattern],
    });
    const heard = (one: typeof performance) =>
      one.sections[0]!.performance.sounds.map(({ start, end, direction }) => ({ start, end, direction }));
    expect(heard(performance)).toHaveLength(6);
    expect(heard(again)).toEqual(heard(performance));
    // Open for 11 sixty-fourths; then the click at the fourth sixteenth shuts for the twelfth.
    expect(result.pattern.fader.cells.slice(0, 2)).toEqual([
      { fader: "open", length: 11 },
      { fader: "closed" },
    ]);
    expect(result.error).toBe(0);
  });

  it("keeps a pattern exactly, silent strokes too, where the file tells the record's position", () => {
    const written: Routine = {
      ...ferry,
      patterns: [
        {
          id: "hidden",
          record: {
            step: "1/16",
            strokes: [
              { move: "forward", travel: 90 },
              { move: "forward" },
              { move: "hold", length: 2 },
              { move: "back", length: 3, shape: "even" },
              { move: "back", travel: 90 },
            ],
          },
          fader: {
            step: "1/8",
            cells: [
              { fader: "closed", length: 2 },
              { fader: "open" },
              { fader: "closed" },
              { fader: "open" },
            ],
          },
        },
      ],
      sections: [
        { ...ferry.sections[1]!, swing: undefined, bars: 10, placements: [{ pattern: "hidden", bar: 1 }] },
      ],
    };
    const made = clipFiles(written, compile(written)).files;
    const position = { controller: 16, round: 360 };
    const choice = { id: "hidden", step: "1/64", forward: 29, back: 30, fader: { controller: 11 }, position };
    const result = patternOf(read(made.find(({ section }) => section === null)!.bytes), choice);
    if ("problem" in result) throw new Error(result.problem);
    expect(result.pattern).toEqual(written.patterns[0]);
    expect(result.error).toBe(0);
    // The clip of the record hand alone tells it too.
    const alone = patternOf(read(made.find(({ strand }) => strand === "record")!.bytes), choice);
    if ("problem" in alone) throw new Error(alone.problem);
    expect(alone.pattern.record).toEqual(written.patterns[0]!.record);
  });

  it("keeps the tempo map within a microsecond a quarter, with names and metres", () => {
    const map = tempoMapOf(read(fileOf(null, null)));
    if ("problem" in map) throw new Error(map.problem);
    expect(map.stretches).toEqual([
      { name: "Quay ✈", bars: 1, meter: "6/16", tempo: 93.4 },
      { name: "loop", bars: 1, meter: "4/4", tempo: 92 },
      { name: "climb", bars: 8, meter: "4/4", tempo: { from: 93, to: 97 } },
      { name: "sprint", bars: 4, meter: "7/8", tempo: 97 },
    ]);
    expect(map.error).toBeLessThanOrEqual(1);
    expect(map.leftOut).toEqual([]);
  });

  it("keeps a short ramp, whose end lies past the tempo of its last sixteenth", () => {
    const only = { ...ferry.sections[2]!, bars: 1, tempo: { from: 60, to: 120.5 } };
    const routine: Routine = { ...ferry, sections: [only] };
    const whole = clipFiles(routine, compile(routine)).files.find(({ section }) => section === null)!;
    const map = tempoMapOf(read(whole.bytes));
    if ("problem" in map) throw new Error(map.problem);
    const { from, to } = map.stretches[0]!.tempo as { from: number; to: number };
    expect(from).toBeCloseTo(60, 1);
    expect(to).toBeCloseTo(120.5, 1);
  });

  it("finds the shortest tempo that is written as the same microseconds", () => {
    expect(tempoOf(645_161)).toBe(93);
    expect(tempoOf(500_000)).toBe(120);
    fc.assert(
      fc.property(fc.integer({ min: 2000, max: 40_000 }), (hundredths) => {
        const tempo = tempoOf(Math.round(6e9 / hundredths));
        expect(Math.abs(60e6 / tempo - 6e9 / hundredths)).toBeLessThanOrEqual(1);
      }),
      { seed: 7 },
    );
  });
});

const file = (track: string, head = "4D546864000000060000000100604D54726B"): Uint8Array => {
  const length = (track.length / 2).toString(16).padStart(8, "0");
  return Uint8Array.from(Buffer.from(head + length + track, "hex"));
};

describe("what cannot be read gets a sentence", () => {
  const END = "00FF2F00";
  it.each([
    ["text", Buffer.from("Night Ferry, no MIDI"), "It is no MIDI file."],
    ["film frames", file(END, "4D54686400000006000000 01E7284D54726B".replace(" ", "")), "film frames"],
    ["0 ticks a quarter", file(END, "4D546864000000060000000100004D54726B"), "0 ticks a quarter"],
    ["format 2", file(END, "4D546864000000060002000100604D54726B"), "format 2"],
    ["a velocity of 128", file(`00903C80${END}`), "A data byte is 128"],
    ["a number of five bytes", file(`FFFFFFFF7F903C40${END}`), "longer than four bytes"],
    ["a length without end", file("00FF01FFFFFF7F"), "reaches past the end of track 1"],
    ["no end of track", file("00903C40"), "no end of track"],
    ["half an event", file("00903C"), "in the middle of an event"],
    ["tempo 0", file(`00FF5103000000${END}`), "A tempo is 0"],
    ["no status", file(`003C40${END}`), "has no status"],
    ["a short tempo", file(`00FF510207A1${END}`), "2 bytes instead of 3"],
    ["a cut-off track", file(END).subarray(0, -1), "a track is longer than the file"],
    ["a missing track", file(END, "4D546864000000060001000200604D54726B"), "says 2 tracks but has 1"],
    ["an enormous file", new Uint8Array(9 * 1024 * 1024), "larger than 8 MiB"],
  ])("%s", (_, bytes, sentence) => {
    const result = readMidi(bytes);
    expect("problem" in result && result.problem).toContain(sentence);
  });

  it("never throws, whatever bytes of a good file are changed or cut off", () => {
    const good = fileOf(null, null);
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: good.length - 1 }),
        fc.integer({ min: 0, max: 255 }),
        fc.integer({ min: 0, max: good.length }),
        (at, value, length) => {
          const bytes = good.slice(0, Math.max(length, at + 1));
          bytes[at] = value;
          const content = readMidi(bytes);
          if ("problem" in content) return;
          beatOf(content, { id: "any", step: "1/16" });
          patternOf(content, { id: "any", step: "1/64", forward: 29, back: 30, fader: { key: 60 } });
          tempoMapOf(content);
        },
      ),
      { seed: 20, numRuns: 500 },
    );
  });
});

it("ends notes of one key in the order they started", () => {
  const [first, second] = read(file("00903C401090 3C5010803C0010803C0000FF2F00".replaceAll(" ", "")))
    .tracks[0]!.notes;
  expect(first).toEqual({ channel: 0, key: 60, velocity: 64, from: 0, to: 32 });
  expect(second).toEqual({ channel: 0, key: 60, velocity: 80, from: 16, to: 48 });
});

it("lists what was left out", () => {
  const content = read(file("00C00500E000400090304000803140" + "00FF2F00"));
  expect(bendsLeftOut(content)).toEqual(["Left out: 1 pitch bends."]);
  expect(content.leftOut).toEqual([
    "Left out: 1 program changes.",
    "Left out: 1 ends of notes that never started.",
    "Left out: 1 notes that never end.",
  ]);
});
