/**
 * MIDI Manufacturers Association, Standard MIDI Files 1.0 (RP-001), v96.1: the example files of Appendix 1, the
 * notes that it prints for them, and its table of variable-length numbers.
 */
import { parseMidi, writeMidi } from "midi-file";
import { expect, test } from "vitest";
import { readWithMido } from "../clips/read.ts";

const FORMAT_0 =
  "4D546864000000060000000100604D54726B0000003B00FF58040402180800FF510307A12000C00500C12E00C24600923060003C6060914340609" +
  "04C208140823040003C400081434000804C4000FF2F00";
const FORMAT_1 =
  "4D546864000000060001000400604D54726B0000001400FF58040402180800FF510307A1208300FF2F004D54726B0000001000C0058140904C2081" +
  "404C0000FF2F004D54726B0000000F00C12E609143408220430000FF2F004D54726B0000001500C24600923060003C6083003000003C0000FF2F00";
const bytesOf = (hex: string): Uint8Array =>
  Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));

const NOTES = [
  { channel: 1, note: 76, velocity: 32, on: 192, off: 384 },
  { channel: 2, note: 67, velocity: 64, on: 96, off: 384 },
  { channel: 3, note: 48, velocity: 96, on: 0, off: 384 },
  { channel: 3, note: 60, velocity: 96, on: 0, off: 384 },
];

/** Notes by midi-file's events. */
function notesOf(bytes: Uint8Array) {
  const notes: (typeof NOTES)[number][] = [];
  for (const track of parseMidi(bytes).tracks) {
    const open = new Map<string, { velocity: number; on: number }>();
    let tick = 0;
    for (const event of track) {
      tick += event.deltaTime;
      if (event.type !== "noteOn" && event.type !== "noteOff") continue;
      const slot = `${event.channel}/${event.noteNumber}`;
      const started = open.get(slot);
      if (event.type === "noteOn") open.set(slot, { velocity: event.velocity, on: tick });
      else if (started !== undefined)
        notes.push({ channel: event.channel + 1, note: event.noteNumber, ...started, off: tick });
    }
  }
  return notes.sort((a, b) => a.channel - b.channel || a.note - b.note);
}

test.each([
  ["format 0", FORMAT_0, 81],
  ["format 1", FORMAT_1, 118],
])("the example of %s is read to the notes that the specification prints", (_, hex, length) => {
  expect(bytesOf(hex).length).toBe(length);
  expect(notesOf(bytesOf(hex))).toEqual(NOTES);
  const ends = readWithMido([bytesOf(hex)])[0]?.tracks.map((track) => track.at(-1)?.tick);
  expect(Math.max(...(ends ?? []).map(Number))).toBe(384);
});

test.each([
  ["format 0", FORMAT_0],
  ["format 1", FORMAT_1],
])("the example of %s is written again byte for byte, with running status on", (_, hex) => {
  expect(Uint8Array.from(writeMidi(parseMidi(bytesOf(hex)), { running: true }))).toEqual(bytesOf(hex));
});

test("variable-length numbers are those of the specification's table", () => {
  const table = [
    [0, "00"],
    [64, "40"],
    [127, "7F"],
    [128, "8100"],
    [8192, "C000"],
    [16383, "FF7F"],
    [16384, "818000"],
    [1048576, "C08000"],
    [2097151, "FFFF7F"],
    [2097152, "81808000"],
    [134217728, "C0808000"],
    [268435455, "FFFFFF7F"],
  ] as const;
  for (const [deltaTime, hex] of table) {
    const track = [{ deltaTime, meta: true as const, type: "endOfTrack" as const }];
    const written = writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 96 }, tracks: [track] });
    expect(Uint8Array.from(written.slice(22))).toEqual(bytesOf(`${hex}FF2F00`));
  }
});
