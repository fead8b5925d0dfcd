/** The libraries that our MIDI files are held against, themselves held against the specification. */
import { parseMidi, writeMidi } from "midi-file";
import { expect, test } from "vitest";
import { readWithMido } from "../clips/read.ts";
import { EXAMPLES, NOTES, VARIABLE_LENGTHS } from "./midiSpecification.ts";

/** Notes by midi-file's events. */
function notesOf(bytes: Uint8Array) {
  const notes: (typeof NOTES)[number][] = [];
  for (const track of parseMidi(bytes).tracks) {
    const open = new Map<string, { velocity: number; from: number }>();
    let tick = 0;
    for (const event of track) {
      tick += event.deltaTime;
      if (event.type !== "noteOn" && event.type !== "noteOff") continue;
      const slot = `${event.channel}/${event.noteNumber}`;
      const started = open.get(slot);
      if (event.type === "noteOn") open.set(slot, { velocity: event.velocity, from: tick });
      else if (started !== undefined)
        notes.push({ channel: event.channel, key: event.noteNumber, ...started, to: tick });
    }
  }
  return notes.sort((a, b) => a.channel - b.channel || a.key - b.key);
}

const LENGTHS = { "format 0": 81, "format 1": 118 } as const;

test.each(["format 0", "format 1"] as const)(
  "the example of %s is read to the notes that the specification prints, and written again byte for byte",
  (format) => {
    const bytes = EXAMPLES[format];
    expect(bytes.length).toBe(LENGTHS[format]);
    expect(notesOf(bytes)).toEqual(NOTES);
    const ends = readWithMido([bytes])[0]?.tracks.map((track) => track.at(-1)?.tick);
    expect(Math.max(...(ends ?? []).map(Number))).toBe(384);
    // As the specification writes them: with running status.
    expect(Uint8Array.from(writeMidi(parseMidi(bytes), { running: true }))).toEqual(bytes);
  },
);

test("variable-length numbers are those of the specification's table", () => {
  for (const [deltaTime, hex] of VARIABLE_LENGTHS) {
    const track = [{ deltaTime, meta: true as const, type: "endOfTrack" as const }];
    const written = writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 96 }, tracks: [track] });
    expect(Uint8Array.from(written.slice(22))).toEqual(Uint8Array.from(Buffer.from(`${hex}FF2F00`, "hex")));
  }
});
