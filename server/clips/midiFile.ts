/**
 * Bytes of a MIDI file (Standard MIDI Files 1.0, RP-001): no running status, each track ended where it is said to.
 * Numbers were checked where their events were made.
 */
import { type Events, lengthBytes } from "./events.ts";

/** "MThd", its length and three numbers; then "MTrk" and its length. */
const HEADER = 14;
const CHUNK = 8;
const END_OF_TRACK = [0xff, 0x2f, 0];
/** Bytes of the longest delta. */
const LONGEST_DELTA = 4;

function trackBytes(events: Events, end: number): Uint8Array {
  let bytes = new Uint8Array(CHUNK + 8 * events.size + 64);
  bytes.set([0x4d, 0x54, 0x72, 0x6b]);
  let at = CHUNK;
  let before = 0;
  const room = (more: number): void => {
    if (at + more <= bytes.length) return;
    const wider = new Uint8Array(2 * bytes.length + more);
    wider.set(bytes);
    bytes = wider;
  };
  const delta = (tick: number): void => {
    const ticks = tick - before;
    before = tick;
    if (ticks < 128) bytes[at++] = ticks;
    else for (const byte of lengthBytes(ticks)) bytes[at++] = byte;
  };
  events.each((tick, message, meta) => {
    if (tick > end) throw new RangeError(`an event at tick ${tick} of ${end}`);
    room(LONGEST_DELTA + (meta?.length ?? 3));
    delta(tick);
    if (meta === undefined) {
      bytes[at++] = message;
      bytes[at++] = message >> 8;
      bytes[at++] = message >> 16;
    } else {
      bytes.set(meta, at);
      at += meta.length;
    }
  });
  room(LONGEST_DELTA + END_OF_TRACK.length);
  delta(end);
  bytes.set(END_OF_TRACK, at);
  at += END_OF_TRACK.length;
  new DataView(bytes.buffer).setUint32(4, at - CHUNK);
  return bytes.subarray(0, at);
}

export interface Track {
  readonly events: Events;
  /** Tick of the end of track; no event stands after it. */
  readonly end: number;
}

/** @param format 0 for one track, 1 for several that play together */
export function midiFile(format: 0 | 1, ppq: number, tracks: readonly Track[]): Uint8Array {
  const chunks = tracks.map(({ events, end }) => trackBytes(events, end));
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
