/**
 * The rows of an octave of a sample's tables (tables.ts), made of its spectrum.
 *
 * One transform gives two rows: both channels of a level, or of a single channel two levels, as real and imaginary
 * part. Where a table has more values than the sample it gives those at whole samples; those between come of the same
 * spectrum, turned on by a part of a sample. So no transform is longer than the sample, whatever the tables' rate:
 * the less memory is gone through, the sooner it is done.
 */
import FFT from "fft.js";
import { kernelResponse } from "./kernel.ts";

export const LEVELS_PER_OCTAVE = 6;
/** Values a sample of the octave that has the most. */
export const OVERSAMPLED = 4;
/** Values before a row's start and after its end, so that six neighbours can be read anywhere. */
export const BEFORE = 2;
export const AFTER = 4;
const PASS = 20 / 24;
/** Samples between what is kept and the seam of the transform, where it would ring. */
const SEAM = 4096;

export interface Octave {
  /** Level of its first row. */
  readonly level: number;
  readonly rows: number;
  /** Values a sample. */
  readonly rate: number;
}

export interface Spectrum {
  /** Interleaved real and imaginary parts; the second channel is the imaginary part in time. */
  readonly bins: Float64Array;
  readonly size: number;
  readonly stereo: boolean;
  readonly fft: FFT;
  /** By bin up to half the sample's own rate: 1 / response of the kernel where there are the most values. */
  readonly inverse: Float64Array;
  /** By bin, interleaved: how far it turns from one value to the next where there are the most. */
  readonly turns: Float64Array;
}

export function spectrumOf(source: readonly Float64Array[], length: number, cyclic: boolean): Spectrum {
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
  const fft = new FFT(size);
  fft.transform(bins, signal);
  const turns = new Float64Array(size + 2);
  for (let k = 0; k <= size / 2; k++) {
    const angle = (2 * Math.PI * k) / (size * OVERSAMPLED);
    turns[2 * k] = Math.cos(angle);
    turns[2 * k + 1] = Math.sin(angle);
  }
  return { bins, size, stereo: source.length > 1, fft, inverse: invertedResponse(size), turns };
}

/** 1 / response of the kernel, by bin up to half the sample's own rate; between steps of a grid it goes evenly. */
function invertedResponse(size: number): Float64Array {
  const steps = 512;
  const most = 0.5 / OVERSAMPLED;
  const grid = Float64Array.from({ length: steps + 2 }, (_, i) => 1 / kernelResponse((i / steps) * most));
  return Float64Array.from({ length: size / 2 + 1 }, (_, k) => {
    const x = (k / size / OVERSAMPLED / most) * steps;
    const i = Math.min(steps, Math.floor(x));
    return grid[i]! + (x - i) * (grid[i + 1]! - grid[i]!);
  });
}

export interface Rows {
  /** An array a channel. */
  readonly data: readonly Float32Array[];
  /** Where the octave's first row starts, and how far the next is on. */
  readonly start: number;
  readonly row: number;
  /** Samples of the sound. */
  readonly length: number;
  readonly cyclic: boolean;
}

/** @param rowDone called after each row of all channels */
export function fillOctave(spectrum: Spectrum, octave: Octave, rows: Rows, rowDone: () => void): void {
  const { stereo } = spectrum;
  const { rate } = octave;
  const size = spectrum.size * Math.min(1, rate);
  if (size < 4) return;
  const fft = size === spectrum.size ? spectrum.fft : new FFT(size);
  const shaped = new Float64Array(2 * size);
  const out = new Float64Array(2 * size);
  const [one, two = one] = rows.data as [Float32Array, Float32Array?];
  const atOnce = stereo ? 1 : 2;
  for (let j = 0; j < octave.rows; j += atOnce) {
    const first = rows.start + j * rows.row;
    const second = stereo ? first : first + rows.row;
    const both = stereo || j + 1 < octave.rows;
    const used = shape(shaped, size, spectrum, octave, octave.level + j, both && !stereo);
    for (let phase = 0; phase < Math.max(1, rate); phase++) {
      if (phase > 0) turnOn(shaped, size, spectrum.turns, OVERSAMPLED / rate, used);
      fft.inverseTransform(out, shaped);
      keep(one, first, rows, out, 0, rate, phase);
      if (both) keep(two, second, rows, out, 1, rate, phase);
    }
    close(one, first, rows);
    if (both) close(two, second, rows);
    for (let row = j; row < Math.min(octave.rows, j + atOnce); row++) rowDone();
  }
}

/** Cycles a sample from which on a level has nothing. */
const cutoffOf = (level: number): number => 0.5 / 2 ** (level / LEVELS_PER_OCTAVE);

/** 1 below the pass edge of a level, 0 from its cutoff on, a raised cosine between; cycles a sample. */
function passes(frequency: number, cutoff: number): number {
  const edge = cutoff * PASS;
  if (frequency <= edge) return 1;
  if (frequency >= cutoff) return 0;
  return 0.5 + 0.5 * Math.cos((Math.PI * (frequency - edge)) / (cutoff - edge));
}

/**
 * out = bin · (a + i·b), where a is what the level passes and b what the next does, so that a real sample's two rows
 * come out as real and imaginary part; b is 0 where there is no `next`.
 *
 * @returns how many bins there are, on either side
 */
function shape(
  out: Float64Array,
  size: number,
  { bins, size: whole, inverse }: Spectrum,
  { rate }: Octave,
  level: number,
  next: boolean,
): number {
  out.fill(0);
  const [cutoff, cutoffNext] = [cutoffOf(level), next ? cutoffOf(level + 1) : 0];
  const spread = OVERSAMPLED / rate;
  let k = 0;
  for (; k * spread < inverse.length; k++) {
    const a = passes(k / whole, cutoff) * inverse[k * spread]!;
    const b = passes(k / whole, cutoffNext) * inverse[k * spread]!;
    if (a === 0 && b === 0) break;
    multiply(out, 2 * k, bins, 2 * k, a, next ? b : 0);
    if (k > 0) multiply(out, 2 * (size - k), bins, 2 * (whole - k), a, next ? b : 0);
  }
  return k;
}

/** Moves all of it on by one value of `stride` times those of which there are the most. */
function turnOn(shaped: Float64Array, size: number, turns: Float64Array, stride: number, used: number): void {
  for (let k = 1; k < used; k++) {
    const re = turns[2 * k * stride]!;
    const im = turns[2 * k * stride + 1]!;
    multiply(shaped, 2 * k, shaped, 2 * k, re, im);
    multiply(shaped, 2 * (size - k), shaped, 2 * (size - k), re, -im);
  }
}

function multiply(
  out: Float64Array,
  at: number,
  by: Float64Array,
  from: number,
  re: number,
  im: number,
): void {
  const a = by[from]!;
  const b = by[from + 1]!;
  out[at] = a * re - b * im;
  out[at + 1] = a * im + b * re;
}

/** Every value of a row at one phase. The transform divides by its own size, which is less where the rate is. */
function keep(
  target: Float32Array,
  start: number,
  { length }: Rows,
  out: Float64Array,
  part: number,
  rate: number,
  phase: number,
): void {
  const step = Math.max(1, rate);
  const gain = Math.min(1, rate);
  const first = start + BEFORE + phase;
  const from = 2 * SEAM * gain + part;
  for (let i = 0; i < length * gain; i++) target[first + i * step] = out[from + 2 * i]! * gain;
}

/** What lies beyond the ends: of a sample that repeats its other end, else silence, which is there already. */
function close(target: Float32Array, start: number, { row, cyclic }: Rows): void {
  if (!cyclic) return;
  const first = start + BEFORE;
  const values = row - BEFORE - AFTER;
  for (let i = -BEFORE; i < 0; i++) target[first + i] = target[first + (((i % values) + values) % values)]!;
  for (let i = 0; i < AFTER; i++) target[first + values + i] = target[first + (i % values)]!;
}
