/**
 * What we read and write of Standard MIDI Files 1.0 (RP-001), v96.1: its examples, variable-length numbers, tempo and time
 * signature; MIDI 1.0 Detailed Specification: centre of pitch bend.
 */
import { describe, expect, it } from "vitest";
import { UNITS_PER_QUARTER, type Units } from "../../schemas/units.ts";
import { Events } from "../../server/clips/events.ts";
import { midiFile } from "../../server/clips/midiFile.ts";
import { readMidi } from "../../server/clips/read/file.ts";
import { addMeter, addTempo } from "../../server/clips/tempo.ts";
import { EXAMPLES, NOTES, VARIABLE_LENGTHS } from "./midiSpecification.ts";

const hex = (bytes: ArrayLike<number>): string =>
  Buffer.from(Uint8Array.from(bytes)).toString("hex").toUpperCase();

describe.each(Object.entries(EXAMPLES))("the published example of %s", (_, bytes) => {
  it("is read to the notes that the specification prints", () => {
    const content = readMidi(bytes);
    if ("problem" in content) throw new Error(content.problem);
    const notes = content.tracks.flatMap((track) => track.notes);
    notes.sort((a, b) => a.channel - b.channel || a.key - b.key);
    expect(notes).toEqual(NOTES);
    expect(content.ppq).toBe(96);
    expect(content.tempos).toEqual([{ tick: 0, microseconds: 500_000 }]);
    expect(content.meters).toEqual([{ tick: 0, upper: 4, lower: 4 }]);
    expect(content.leftOut).toEqual(["Left out: 3 program changes."]);
  });
});

/** A track of what is added. */
function written(ppq: number, end: number, add: (events: Events) => void = () => {}): Uint8Array {
  const events = new Events();
  add(events);
  return midiFile(0, ppq, [{ events, end }]);
}

/** Where the track's events start: after the two chunk heads. */
const track = (bytes: Uint8Array): string => hex(bytes.subarray(22));

it.each(VARIABLE_LENGTHS)("writes %i as the variable-length number %s, and reads it", (value, text) => {
  const bytes = written(96, value);
  expect(track(bytes)).toBe(`${text}FF2F00`);
  const content = readMidi(bytes);
  expect("tracks" in content && content.tracks[0]?.end).toBe(value);
});

it("refuses to write a longer number", () => {
  expect(() => written(96, 268_435_456, (events) => events.bend(268_435_456, 0, 0))).toThrow(RangeError);
});

it("writes 120 quarters a minute as the specification does", () => {
  const bar = (4 * UNITS_PER_QUARTER) as Units;
  expect(track(written(96, 0, (events) => addTempo(events, { tempo: 120 }, bar, 0, 96)))).toBe(
    "00FF510307A12000FF2F00",
  );
});

it("writes the centre of the bend as 00 40, the low byte first", () => {
  expect(track(written(96, 0, (events) => events.bend(0, 0, 0)))).toBe("00E0004000FF2F00");
});

it("writes time signatures in the full form, the lower number as a power of two", () => {
  // The specification's example of 6/8 has 24 (36 clocks, a click each dotted quarter) where we click each eighth: 0C.
  expect(track(written(96, 0, (events) => addMeter(events, 0, "6/8")))).toBe("00FF580406030C0800FF2F00");
});
