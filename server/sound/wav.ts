/**
 * 24-bit WAV, written as it comes: everything before the samples first, since the number of frames is known. Chunks
 * are those of Microsoft's and IBM's Multimedia Programming Interface (1991): `fmt `, `LIST INFO`, `cue ` and
 * `LIST adtl` with a label a marker. Past 4 GB it is RF64 (EBU Tech 3306), whose `ds64` holds the sizes.
 */

export interface Marker {
  readonly frame: number;
  readonly label: string;
}

export interface WavOptions {
  readonly rate: number;
  /** 1 or 2. */
  readonly channels: number;
  readonly frames: number;
  /** Title and comment, in LIST INFO. */
  readonly title?: string;
  readonly comment?: string;
  /** In order of frames. */
  readonly markers?: readonly Marker[];
}

const BYTES = 3;
const UNKNOWN = 0xffff_ffff;

const encoder = new TextEncoder();

/** A chunk: four letters, the size, the content, and a byte more where that is odd. */
function chunk(name: string, content: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(8 + content.length + (content.length & 1));
  bytes.set(encoder.encode(name));
  new DataView(bytes.buffer).setUint32(4, content.length, true);
  bytes.set(content, 8);
  return bytes;
}

function join(parts: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

function numbers(...values: readonly number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(4 * values.length));
  for (const [i, value] of values.entries()) view.setUint32(4 * i, value, true);
  return new Uint8Array(view.buffer);
}

const text = (words: string): Uint8Array => encoder.encode(`${words}\0`);

function format({ rate, channels }: WavOptions): Uint8Array {
  const view = new DataView(new ArrayBuffer(16));
  view.setUint16(0, 1, true);
  view.setUint16(2, channels, true);
  view.setUint32(4, rate, true);
  view.setUint32(8, rate * channels * BYTES, true);
  view.setUint16(12, channels * BYTES, true);
  view.setUint16(14, 8 * BYTES, true);
  return chunk("fmt ", new Uint8Array(view.buffer));
}

function info({ title, comment }: WavOptions): Uint8Array[] {
  const fields = [chunk("ISFT", text("Countercut"))];
  if (title !== undefined) fields.unshift(chunk("INAM", text(title)));
  if (comment !== undefined) fields.push(chunk("ICMT", text(comment)));
  return [chunk("LIST", join([encoder.encode("INFO"), ...fields]))];
}

function markerChunks(markers: readonly Marker[]): Uint8Array[] {
  if (markers.length === 0) return [];
  const data = encoder.encode("data");
  const points = markers.map(({ frame }, i) => join([numbers(i + 1, frame), data, numbers(0, 0, frame)]));
  const labels = markers.map(({ label }, i) => chunk("labl", join([numbers(i + 1), text(label)])));
  return [
    chunk("cue ", join([numbers(markers.length), ...points])),
    chunk("LIST", join([encoder.encode("adtl"), ...labels])),
  ];
}

/** All bytes before the samples. After them comes wavEnd. */
export function wavStart(options: WavOptions): Uint8Array {
  const size = options.frames * options.channels * BYTES;
  const middle = join([format(options), ...info(options), ...markerChunks(options.markers ?? [])]);
  const rest = 4 + middle.length + 8 + size + (size & 1);
  if (rest <= UNKNOWN - 1) {
    return join([
      encoder.encode("RIFF"),
      numbers(rest),
      encoder.encode("WAVE"),
      middle,
      encoder.encode("data"),
      numbers(size),
    ]);
  }
  const halves = (value: number): [number, number] => [value % 2 ** 32, Math.floor(value / 2 ** 32)];
  const large = chunk("ds64", numbers(...halves(rest + 36), ...halves(size), ...halves(options.frames), 0));
  return join([
    encoder.encode("RF64"),
    numbers(UNKNOWN),
    encoder.encode("WAVE"),
    large,
    middle,
    encoder.encode("data"),
    numbers(UNKNOWN),
  ]);
}

/** What follows the samples: a byte where they are odd in number. */
export const wavEnd = ({ frames, channels }: WavOptions): Uint8Array =>
  new Uint8Array((frames * channels * BYTES) & 1);

/** Samples as 24-bit whole numbers, rounded, cut at full scale; `out` holds 3 bytes a sample. */
export function encodeSamples(channels: readonly Float32Array[], frames: number, out: Uint8Array): void {
  let at = 0;
  for (let i = 0; i < frames; i++) {
    for (let c = 0; c < channels.length; c++) {
      const value = Math.round(channels[c]![i]! * 8_388_608);
      const whole = Math.max(-8_388_608, Math.min(8_388_607, value));
      out[at] = whole & 255;
      out[at + 1] = (whole >> 8) & 255;
      out[at + 2] = (whole >> 16) & 255;
      at += BYTES;
    }
  }
}
