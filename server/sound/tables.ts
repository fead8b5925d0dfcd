/**
 * Tables prepared from a sample, so that it can be read at any speed, forward and back, without aliases above
 * speed 1 or images below it.
 *
 * A level is the sample with what a speed of 2^(level/6) would lift past half the output rate taken away: flat to
 * 20/24 of its cutoff, nothing from the cutoff on. Levels 0 to 6 are kept at four times the sample's rate, 6 to 12
 * at twice, and so on: the rate is halved each octave, and the level between two octaves is kept at both rates so
 * that neighbours always share one. All rows of a channel lie in one array, each with two values before its start
 * and four after its end, so that six neighbours can be read anywhere without asking.
 */
import FFT from "fft.js";
import { kernelResponse } from "./kernel.ts";

/** Sound as plain numbers: one or two channels of equal length, −1 to 1. */
export interface Pcm {
  /** Samples a second. */
  readonly rate: number;
  readonly channels: readonly Float32Array[];
}

export interface Tables {
  /** Samples a second of record at its own speed; where it is cyclic, exactly a round in its repeat. */
  readonly rate: number;
  /** Samples in one round (cyclic), or from the first to the last that may sound. */
  readonly length: number;
  readonly cyclic: boolean;
  /** Where the cue lies, in samples. */
  readonly origin: number;
  /** One array a channel (one or two), all rows in a line. */
  readonly data: readonly Float32Array[];
  /** Highest level that can be read, possibly 0. */
  readonly top: number;
  /** By whole level below `top`: where its row starts, how far on the next level's row is, steps a sample. */
  readonly offset: Int32Array;
  readonly stride: Int32Array;
  readonly scale: Float64Array;
}

export interface TableOptions {
  /** Seconds after which the sample repeats; 0: it does not. */
  readonly repeatSeconds: number;
  /** Where the cue lies, seconds from the sound's start. Default 0. */
  readonly cueSeconds?: number;
  /** Greatest speed that is read without aliases, 1 to 64; less takes less memory. Default 64. */
  readonly fastest?: number;
  /** Called with 0 to 1 as the work goes on. */
  readonly progress?: (part: number) => void;
}

export const LEVELS_PER_OCTAVE = 6;
const OVERSAMPLED = 4;
const PASS = 20 / 24;
const BEFORE = 2;
const AFTER = 4;
/** A sample's length is a multiple of this, so that each octave's rows hold a whole number of values. */
const GRAIN = 16;
/** Samples between what is kept and the seam of the transform, where it would ring. */
const SEAM = 4096;
/** Samples on either side of one that does not repeat, in which its filtered levels may ring. */
const MARGIN = 512;
/** Values in all tables of a sample together: 512 MB. */
export const MOST_VALUES = 128 * 1024 * 1024;

/** Values a sample of `length` samples would take, all channels together. */
export function valuesOf(length: number, channels: number, fastest = 64): number {
  let sum = 0;
  for (const { rows, rate } of octavesFor(fastest)) sum += rows * (length * rate + BEFORE + AFTER);
  return sum * channels;
}

interface Octave {
  /** Level of its first row. */
  readonly level: number;
  readonly rows: number;
  /** Values a sample. */
  readonly rate: number;
}

function octavesFor(fastest: number): Octave[] {
  const top = Math.ceil(LEVELS_PER_OCTAVE * Math.log2(Math.max(1, fastest)) - 1e-9);
  const octaves: Octave[] = [];
  for (let level = 0; level === 0 || level < top; level += LEVELS_PER_OCTAVE) {
    const rows = Math.min(LEVELS_PER_OCTAVE, top - level) + 1;
    octaves.push({ level, rows, rate: OVERSAMPLED / 2 ** (level / LEVELS_PER_OCTAVE) });
  }
  return octaves;
}

/** What the tables are made of: one round of the sample, or the sample between two margins of silence. */
function layOut(pcm: Pcm, options: TableOptions): { length: number; origin: number; source: Float64Array[] } {
  const cyclic = options.repeatSeconds > 0;
  const frames = pcm.channels[0]?.length ?? 0;
  const wanted = cyclic ? options.repeatSeconds * pcm.rate : frames + 2 * MARGIN;
  const length = GRAIN * Math.max(1, cyclic ? Math.round(wanted / GRAIN) : Math.ceil(wanted / GRAIN));
  const cue = (options.cueSeconds ?? 0) * pcm.rate;
  // Of a sound longer than its repeat, the round with the cue in it is on the record.
  const first = cyclic ? Math.floor(cue / length) * length : -MARGIN;
  const source = pcm.channels.slice(0, 2).map((channel) => {
    const round = new Float64Array(length);
    for (let i = 0; i < length; i++) {
      const at = first + i;
      if (at >= 0 && at < frames) round[i] = channel[at]!;
    }
    return round;
  });
  return { length, origin: cue - first, source };
}

/** 1 below the pass edge of a level, 0 from its cutoff on, a raised cosine between; cycles a sample. */
function passes(frequency: number, level: number): number {
  const cutoff = 0.5 / 2 ** (level / LEVELS_PER_OCTAVE);
  const edge = cutoff * PASS;
  if (frequency <= edge) return 1;
  if (frequency >= cutoff) return 0;
  return 0.5 + 0.5 * Math.cos((Math.PI * (frequency - edge)) / (cutoff - edge));
}

/**
 * Builds the tables of a sample. Pure, about a second for 2.5 s of sound; meant for a worker.
 *
 * @throws RangeError where the sample has no channel or would take more than MOST_VALUES.
 */
export function buildTables(pcm: Pcm, options: TableOptions): Tables {
  const octaves = octavesFor(options.fastest ?? 64);
  if (pcm.channels.length === 0) throw new RangeError("A sample needs at least one channel.");
  const { length, origin, source } = layOut(pcm, options);
  const values = valuesOf(length, source.length, options.fastest);
  if (values > MOST_VALUES) {
    const most = Math.floor((length / pcm.rate) * (MOST_VALUES / values));
    throw new RangeError(`The sample is too long: trim it to ${most} seconds at most.`);
  }
  const cyclic = options.repeatSeconds > 0;
  const spectrum = spectrumOf(source, length, cyclic);
  const total = octaves.reduce((sum, { rows, rate }) => sum + rows * (length * rate + BEFORE + AFTER), 0);
  // Shared, so that threads that render need no copies.
  const data = source.map(
    () => new Float32Array(new SharedArrayBuffer(total * Float32Array.BYTES_PER_ELEMENT)),
  );
  const top = octaves.reduce((sum, { rows }) => sum + rows - 1, 0);
  const levels = Math.max(1, top);
  const tables = {
    offset: new Int32Array(levels),
    stride: new Int32Array(levels),
    scale: new Float64Array(levels),
  };
  let start = 0;
  let done = 0;
  const all = octaves.reduce((sum, { rows, rate }) => sum + rows * rate, 0);
  for (const octave of octaves) {
    const row = length * octave.rate + BEFORE + AFTER;
    for (let j = 0; j < Math.max(1, octave.rows - 1); j++) {
      tables.offset[octave.level + j] = start + j * row;
      tables.stride[octave.level + j] = octave.rows > 1 ? row : 0;
      tables.scale[octave.level + j] = octave.rate;
    }
    fillOctave(spectrum, octave, { data, start, row, cyclic }, () => {
      done += octave.rate;
      options.progress?.(Math.min(1, done / all));
    });
    start += row * octave.rows;
  }
  const rate = cyclic ? length / options.repeatSeconds : pcm.rate;
  return { rate, length, cyclic, origin, data, top, ...tables };
}

interface Spectrum {
  /** Interleaved real and imaginary parts; the second channel is the imaginary part in time. */
  readonly bins: Float64Array;
  readonly size: number;
  readonly stereo: boolean;
}

function spectrumOf(source: readonly Float64Array[], length: number, cyclic: boolean): Spectrum {
  let size = 2;
  while (size < length + 2 * SEAM) size *= 2;
  const signal = new Float64Array(2 * size);
  source.forEach((channel, part) => {
    for (let i = 0; i < size; i++) {
      const at = i - SEAM;
      const inside = cyclic ? ((at % length) + length) % length : at;
      signal[2 * i + part] = inside >= 0 && inside < length ? channel[inside]! : 0;
    }
  });
  const bins = new Float64Array(2 * size);
  new FFT(size).transform(bins, signal);
  return { bins, size, stereo: source.length > 1 };
}

interface Rows {
  readonly data: readonly Float32Array[];
  readonly start: number;
  readonly row: number;
  readonly cyclic: boolean;
}

/** One transform gives two rows: both channels of a level, or of a single channel two levels. */
function fillOctave(spectrum: Spectrum, octave: Octave, rows: Rows, rowDone: () => void): void {
  const size = spectrum.size * octave.rate;
  if (size < 4) return;
  const fft = new FFT(size);
  const shaped = new Float64Array(2 * size);
  const out = new Float64Array(2 * size);
  const inverse = invertedResponse(octave.rate, spectrum.size);
  const step = spectrum.stereo ? 1 : 2;
  for (let j = 0; j < octave.rows; j += step) {
    shaped.fill(0);
    const level = octave.level + j;
    for (let k = 0; k < inverse.length; k++) {
      const first = passes(k / spectrum.size, level) * inverse[k]!;
      const second =
        spectrum.stereo || j + 1 >= octave.rows ? 0 : passes(k / spectrum.size, level + 1) * inverse[k]!;
      if (first === 0 && second === 0) break;
      shape(shaped, 2 * k, spectrum.bins, 2 * k, first, second);
      if (k > 0) shape(shaped, 2 * (size - k), spectrum.bins, 2 * (spectrum.size - k), first, second);
    }
    fft.inverseTransform(out, shaped);
    for (let part = 0; part < 2; part++) {
      const target = spectrum.stereo ? rows.data[part]! : rows.data[0]!;
      const line = spectrum.stereo ? j : j + part;
      if (line >= octave.rows) continue;
      keep(target, rows.start + line * rows.row, rows, out, part, octave.rate);
      rowDone();
    }
  }
}

/** out = bin · (first + i·second), so that a real sample's two rows come out as real and imaginary part. */
function shape(
  out: Float64Array,
  at: number,
  bins: Float64Array,
  from: number,
  first: number,
  second: number,
): void {
  const re = bins[from]!;
  const im = bins[from + 1]!;
  out[at] = re * first - im * second;
  out[at + 1] = im * first + re * second;
}

function keep(
  target: Float32Array,
  start: number,
  { row, cyclic }: Rows,
  out: Float64Array,
  part: number,
  rate: number,
): void {
  const values = row - BEFORE - AFTER;
  const skip = SEAM * rate;
  // The transform divides by its own size; there are `rate` times as many values as there were samples.
  for (let i = -BEFORE; i < values + AFTER; i++) {
    const outside = i < 0 || i >= values;
    const at = cyclic ? (i + values) % values : i;
    target[start + BEFORE + i] = outside && !cyclic ? 0 : out[2 * (skip + at) + part]! * rate;
  }
}

/** 1 / response of the kernel, by bin up to half the sample's own rate, or half of this octave's band. */
function invertedResponse(rate: number, size: number): Float64Array {
  const bins = Math.floor((size / 2) * Math.min(1, rate / OVERSAMPLED)) + 1;
  const inverse = new Float64Array(bins);
  const steps = 512;
  const grid = new Float64Array(steps + 2);
  for (let i = 0; i < grid.length; i++) grid[i] = 1 / kernelResponse((i / steps) * 0.125);
  for (let k = 0; k < bins; k++) {
    const x = (k / size / rate / 0.125) * steps;
    const i = Math.min(steps, Math.floor(x));
    inverse[k] = grid[i]! + (x - i) * (grid[i + 1]! - grid[i]!);
  }
  return inverse;
}
