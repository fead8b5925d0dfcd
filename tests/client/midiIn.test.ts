/** Bytes of the MIDI 1.0 Detailed Specification (1996), table I, "Summary of status bytes". */
import { expect, test } from "vitest";
import { readMidi } from "../../client/audio/midiIn.ts";

const read = (...bytes: number[]) => readMidi(Uint8Array.from(bytes));

test("notes, controllers and programs are read with their channel, other messages are passed over", () => {
  expect(read(0x90, 60, 100)).toEqual({ kind: "note", channel: 1, number: 60, value: 100 });
  expect(read(0x8f, 60, 64)).toEqual({ kind: "note", channel: 16, number: 60, value: 0 });
  expect(read(0x92, 60, 0)).toEqual({ kind: "note", channel: 3, number: 60, value: 0 });
  expect(read(0xb0, 64, 127)).toEqual({ kind: "control", channel: 1, number: 64, value: 127 });
  expect(read(0xc4, 7)).toEqual({ kind: "program", channel: 5, number: 7, value: 127 });
  for (const other of [0xa0, 0xd0, 0xe0, 0xf0, 0xf8, 0xfe]) expect(read(other, 1, 2)).toBe(null);
});
