/**
 * Bytes of a MIDI file (Standard MIDI Files 1.0, RP-001), through the writer of `midi-file`. It writes exactly what
 * it is given and checks nothing, so every number was checked where its event was made. Its time grows with the
 * square of a track's length, so that tracks are written in slices and joined.
 */
import { type MidiEvent, writeMidi } from "midi-file";
import { inOrder, type Timed } from "./events.ts";

const SLICE = 32;
/** "MThd", its length and three numbers; then "MTrk" and its length. */
const HEADER = 14;
const CHUNK = 8;

/** Text one low byte a character, as the writer takes it: UTF-8 survives. */
export const asBytes = (text: string): string => String.fromCharCode(...new TextEncoder().encode(text));

function trackBytes(events: readonly Timed[], end: number, ppq: number): Uint8Array {
  const all: MidiEvent[] = [];
  let before = 0;
  for (const { tick, event } of inOrder(events)) {
    const deltaTime = tick - before;
    if (!(Number.isInteger(tick) && deltaTime >= 0 && tick <= end && deltaTime < 0x1000_0000)) {
      throw new RangeError(`an event at tick ${tick} of ${end}`);
    }
    all.push({ ...event, deltaTime });
    before = tick;
  }
  all.push({ deltaTime: end - before, meta: true, type: "endOfTrack" });
  const slices: number[][] = [];
  for (let at = 0; at < all.length; at += SLICE) {
    const slice = all.slice(at, at + SLICE);
    slices.push(
      writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: ppq }, tracks: [slice] }).slice(
        HEADER + CHUNK,
      ),
    );
  }
  const length = slices.reduce((sum, slice) => sum + slice.length, 0);
  const bytes = new Uint8Array(CHUNK + length);
  bytes.set([0x4d, 0x54, 0x72, 0x6b]);
  new DataView(bytes.buffer).setUint32(4, length);
  let at = CHUNK;
  for (const slice of slices) {
    bytes.set(slice, at);
    at += slice.length;
  }
  return bytes;
}

export interface Track {
  readonly events: readonly Timed[];
  /** Tick of the end of track; no event stands after it. */
  readonly end: number;
}

/** @param format 0 for one track, 1 for several that play together */
export function midiFile(format: 0 | 1, ppq: number, tracks: readonly Track[]): Uint8Array {
  const chunks = tracks.map(({ events, end }) => trackBytes(events, end, ppq));
  const bytes = new Uint8Array(HEADER + chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  bytes.set([0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6]);
  const view = new DataView(bytes.buffer);
  view.setUint16(8, format);
  view.setUint16(10, chunks.length);
  view.setUint16(12, ppq);
  let at = HEADER;
  for (const chunk of chunks) {
    bytes.set(chunk, at);
    at += chunk.length;
  }
  return bytes;
}
