/**
 * Looks through a MIDI file (Standard MIDI Files 1.0, RP-001) before it is parsed. The parser accepts truncated files
 * with undefined values, and a short file with an endless length makes it eat all memory; so every length, byte and
 * count is held against its bounds first. What comes out holds the tracks alone, each cut at its end of track.
 */

/** Bounds of what is read; a clip or a whole routine stays far below. */
export const LARGEST_MIDI = 8 * 1024 * 1024;
const MOST_TRACKS = 1024;
const MOST_EVENTS = 500_000;

export type Guarded = { readonly bytes: Uint8Array } | { readonly problem: string };

class Broken extends Error {}

/** Lengths that metas of a fixed length have: number, channel and port prefix, end, tempo, SMPTE, metre, key. */
const META_LENGTHS: Readonly<Record<number, number>> = {
  0: 2,
  32: 1,
  33: 1,
  47: 0,
  81: 3,
  84: 5,
  88: 4,
  89: 2,
};

const HEADER = 14;
const CHUNK = 8;

const nameAt = (bytes: Uint8Array, at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4));

/** Where the track's end of track ends, and how many events it has. `bytes` are the track's alone. */
function scanTrack(bytes: Uint8Array, track: number, room: number): { length: number; events: number } {
  let at = 0;
  let status = 0;
  let events = 0;
  const where = (): string => `track ${track}, byte ${at}`;
  const byte = (): number => {
    const value = bytes[at++];
    if (value === undefined) throw new Broken(`Track ${track} stops in the middle of an event.`);
    return value;
  };
  const data = (): number => {
    const value = byte();
    if (value > 127) throw new Broken(`A data byte is ${value}, above 127, at ${where()}.`);
    return value;
  };
  const long = (): number => {
    let value = 0;
    for (let turn = 0; turn < 4; turn++) {
      const next = byte();
      value = value * 128 + (next & 127);
      if (next < 128) return value;
    }
    throw new Broken(`A number is longer than four bytes, at ${where()}.`);
  };
  const skip = (length: number): number => {
    const from = at;
    at += length;
    if (at > bytes.length) throw new Broken(`A length reaches past the end of track ${track}.`);
    return from;
  };

  const meta = (): boolean => {
    const type = data();
    const length = long();
    const from = skip(length);
    const fixed = META_LENGTHS[type];
    if (fixed !== undefined && fixed !== length) {
      throw new Broken(`A meta event ${type} has ${length} bytes instead of ${fixed}, at ${where()}.`);
    }
    if (type === 0x51 && bytes[from] === 0 && bytes[from + 1] === 0 && bytes[from + 2] === 0) {
      throw new Broken(`A tempo is 0 microseconds a quarter, at ${where()}.`);
    }
    if (type === 0x58 && (bytes[from] === 0 || (bytes[from + 1] as number) > 6)) {
      throw new Broken(`A time signature is out of range, at ${where()}.`);
    }
    return type === 0x2f;
  };

  for (;;) {
    if (at >= bytes.length) throw new Broken(`Track ${track} has no end of track: the file may be cut off.`);
    if (++events > room) throw new Broken(`It has more than ${MOST_EVENTS} events.`);
    long();
    const first = byte();
    if (first === 0xff) {
      if (meta()) return { length: at, events };
    } else if (first === 0xf0 || first === 0xf7) {
      skip(long());
    } else if (first > 0xf0) {
      throw new Broken(`A message ${first} cannot stand in a file, at ${where()}.`);
    } else {
      if (first >= 0x80) status = first;
      else at--;
      if (status === 0) throw new Broken(`An event has no status, at ${where()}.`);
      data();
      // Program changes and channel pressure have one data byte, all others two.
      if (status >> 4 !== 0xc && status >> 4 !== 0xd) data();
    }
  }
}

function guarded(bytes: Uint8Array): Uint8Array {
  if (bytes.length > LARGEST_MIDI) throw new Broken(`It is larger than ${LARGEST_MIDI >> 20} MiB.`);
  if (bytes.length < HEADER || nameAt(bytes, 0) !== "MThd") throw new Broken("It is no MIDI file.");
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const headerLength = view.getUint32(4);
  if (headerLength < 6 || CHUNK + headerLength > bytes.length) throw new Broken("Its header is broken.");
  const [format, said, division] = [view.getUint16(8), view.getUint16(10), view.getUint16(12)];
  if (format > 1) throw new Broken("Its tracks are independent songs (format 2): save it as format 0 or 1.");
  if (division >= 0x8000) throw new Broken("It counts film frames, not beats: save it with ticks a quarter.");
  if (division === 0) throw new Broken("It has 0 ticks a quarter.");
  if (said > MOST_TRACKS) throw new Broken(`It has ${said} tracks, more than ${MOST_TRACKS}.`);

  const tracks: Uint8Array[] = [];
  let events = 0;
  for (let at = CHUNK + headerLength; at < bytes.length && tracks.length < said; ) {
    if (at + CHUNK > bytes.length) throw new Broken("It is cut off between two tracks.");
    const length = view.getUint32(at + 4);
    if (at + CHUNK + length > bytes.length)
      throw new Broken("It is cut off: a track is longer than the file.");
    // The standard asks readers to pass over chunks that they do not know.
    if (nameAt(bytes, at) === "MTrk") {
      const track = bytes.subarray(at + CHUNK, at + CHUNK + length);
      const scanned = scanTrack(track, tracks.length + 1, MOST_EVENTS - events);
      events += scanned.events;
      tracks.push(track.subarray(0, scanned.length));
    }
    at += CHUNK + length;
  }
  if (tracks.length < said) throw new Broken(`It says ${said} tracks but has ${tracks.length}.`);
  if (tracks.length === 0) throw new Broken("It has no tracks.");

  const result = new Uint8Array(tracks.reduce((sum, track) => sum + CHUNK + track.length, HEADER));
  result.set([0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6]);
  const out = new DataView(result.buffer);
  out.setUint16(8, format);
  out.setUint16(10, tracks.length);
  out.setUint16(12, division);
  let at = HEADER;
  for (const track of tracks) {
    result.set([0x4d, 0x54, 0x72, 0x6b], at);
    out.setUint32(at + 4, track.length);
    result.set(track, at + CHUNK);
    at += CHUNK + track.length;
  }
  return result;
}

/** The file as it can safely be parsed, or a sentence that says why it cannot be read. */
export function guardMidi(bytes: Uint8Array): Guarded {
  try {
    return { bytes: guarded(bytes) };
  } catch (error) {
    if (error instanceof Broken) return { problem: `This MIDI file cannot be read. ${error.message}` };
    throw error;
  }
}
