/**
 * Reads WAV and RF64, whatever is in it: nothing is allocated from a size that the file declares, only from bytes
 * that are there. Whole numbers of 8, 16, 24 and 32 bits, and floats of 32 and 64.
 */
import type { Marker } from "./wav.ts";
import type { Pcm } from "./tables.ts";

export interface WavFile extends Pcm {
  readonly markers: readonly Marker[];
  /** The file declares more sound than it holds. */
  readonly cut: boolean;
}

export type WavResult = { readonly wav: WavFile } | { readonly problem: string };

const MOST_CHANNELS = 8;
const MOST_MARKERS = 65_536;
const LOWEST_RATE = 8_000;
const HIGHEST_RATE = 384_000;
const EXTENSIBLE = 0xfffe;
const UNKNOWN = 0xffff_ffff;

interface Format {
  readonly float: boolean;
  readonly channels: number;
  readonly rate: number;
  readonly bytes: number;
}

export function readWav(bytes: Uint8Array): WavResult {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const letters = (at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4));
  const first = bytes.length < 12 ? "" : letters(0);
  if ((first !== "RIFF" && first !== "RF64") || letters(8) !== "WAVE") {
    return { problem: "This is no WAV file. Save the sound as WAV and try again." };
  }
  let format: Format | string | null = null;
  let large = Number.POSITIVE_INFINITY;
  let data: { start: number; size: number } | null = null;
  const cues = new Map<number, number>();
  const labels = new Map<number, string>();
  for (let at = 12; at + 8 <= bytes.length; ) {
    const name = letters(at);
    const declared = view.getUint32(at + 4, true);
    const start = at + 8;
    const size = Math.min(declared, bytes.length - start);
    if (name === "fmt ") format ??= readFormat(view, start, size);
    else if (name === "ds64" && size >= 16) large = Number(view.getBigUint64(start + 8, true));
    else if (name === "cue ") readCues(view, start, size, cues);
    else if (name === "LIST" && size >= 4 && letters(start) === "adtl")
      readLabels(bytes, start, size, labels);
    let length = declared;
    if (name === "data") {
      // RF64, and programs that were stopped while they recorded, leave the size open.
      length = declared === UNKNOWN ? Math.min(large, bytes.length - start) : declared;
      data ??= { start, size: length };
    }
    at = start + length + (length & 1);
  }
  if (format === null) return { problem: "The WAV file does not say how its samples are stored." };
  if (typeof format === "string") return { problem: format };
  if (data === null) return { problem: "The WAV file holds no sound." };
  const held = Math.min(data.size, bytes.length - data.start);
  const frames = Math.floor(held / (format.bytes * format.channels));
  const markers = [...cues]
    .map(([id, frame]): Marker => ({ frame, label: labels.get(id) ?? "" }))
    .sort((a, b) => a.frame - b.frame);
  return {
    wav: {
      rate: format.rate,
      channels: decode(view, data.start, frames, format),
      markers,
      cut: held < data.size,
    },
  };
}

function readFormat(view: DataView, start: number, size: number): Format | string {
  if (size < 16) return "The WAV file does not say how its samples are stored.";
  let kind = view.getUint16(start, true);
  const channels = view.getUint16(start + 2, true);
  const rate = view.getUint32(start + 4, true);
  const bits = view.getUint16(start + 14, true);
  // The kind is then the first two bytes of a longer name.
  if (kind === EXTENSIBLE && size >= 26) kind = view.getUint16(start + 24, true);
  const float = kind === 3;
  if (kind !== 1 && !float) return "The WAV file is compressed; save it as plain PCM.";
  if (!(float ? [32, 64] : [8, 16, 24, 32]).includes(bits)) {
    return `The WAV file has samples of ${bits} bits; save it with 16 or 24.`;
  }
  if (channels < 1 || channels > MOST_CHANNELS) {
    return `The WAV file has ${channels} channels; save it with one or two.`;
  }
  if (rate < LOWEST_RATE || rate > HIGHEST_RATE) {
    return `The WAV file has ${rate} samples a second; save it with 44,100 or 48,000.`;
  }
  return { float, channels, rate, bytes: bits / 8 };
}

function readCues(view: DataView, start: number, size: number, cues: Map<number, number>): void {
  for (let at = start + 4; at + 24 <= start + size && cues.size < MOST_MARKERS; at += 24) {
    cues.set(view.getUint32(at, true), view.getUint32(at + 20, true));
  }
}

function readLabels(bytes: Uint8Array, start: number, size: number, labels: Map<number, string>): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  for (let at = start + 4; at + 12 <= start + size && labels.size < MOST_MARKERS; ) {
    const name = String.fromCharCode(...bytes.subarray(at, at + 4));
    const length = view.getUint32(at + 4, true);
    const end = Math.min(at + 8 + length, start + size);
    if (name === "labl") {
      const words = bytes.subarray(at + 12, end);
      const stop = words.indexOf(0);
      labels.set(
        view.getUint32(at + 8, true),
        new TextDecoder().decode(stop < 0 ? words : words.subarray(0, stop)),
      );
    }
    at += 8 + length + (length & 1);
  }
}

function decode(
  view: DataView,
  start: number,
  frames: number,
  { float, channels, bytes }: Format,
): Float32Array[] {
  const read = float
    ? bytes === 4
      ? (at: number) => view.getFloat32(at, true)
      : (at: number) => view.getFloat64(at, true)
    : bytes === 1
      ? (at: number) => (view.getUint8(at) - 128) / 128
      : bytes === 2
        ? (at: number) => view.getInt16(at, true) / 32_768
        : bytes === 3
          ? (at: number) => (view.getUint16(at, true) | (view.getInt8(at + 2) << 16)) / 8_388_608
          : (at: number) => view.getInt32(at, true) / 2_147_483_648;
  return Array.from({ length: channels }, (_, channel) => {
    const sound = new Float32Array(frames);
    for (let i = 0; i < frames; i++) {
      const value = read(start + (i * channels + channel) * bytes);
      // Whatever is no number is silence, and a float's size is kept within what a sum of many can bear.
      sound[i] = Number.isNaN(value) ? 0 : Math.max(-16, Math.min(16, value));
    }
    return sound;
  });
}
