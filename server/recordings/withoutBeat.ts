/**
 * Takes the known beat out of a recording. The program knows what it played; how it came into the microphone (late,
 * quieter, through loudspeaker and room) is found by least squares: the filter that, applied to the beat as it was
 * rendered, leaves least of the recording (Wiener 1949; Levinson 1947 for the solution).
 */
import FFT from "fft.js";
import { RATE } from "../sound/rate.ts";

/** Taps of the filter, 43 ms, and how many of them lie before the delay that was found. */
const TAPS = 2048;
const BEFORE = 96;
/** A peak of the correlation counts where it stands so far above its own usual size. */
const CLEAR = 9;

export interface Beatless {
  readonly samples: Float32Array;
  /** Seconds that the beat is late in the recording; null where it is not heard. */
  readonly lag: number | null;
}

/**
 * @param recording, beat one channel each, 48,000 a second
 * @param reach seconds that the beat may be early or late
 */
export function withoutBeat(recording: Float32Array, beat: Float32Array, reach: number): Beatless {
  const far = Math.round(reach * RATE);
  const crossed = correlation(recording, beat, far + TAPS);
  const middle = far + TAPS;
  let best = middle;
  let sum = 0;
  for (let at = middle - far; at <= middle + far; at++) {
    const value = crossed[at] as number;
    sum += value * value;
    if (value > (crossed[best] as number)) best = at;
  }
  const usual = Math.sqrt(sum / (2 * far + 1));
  if (!((crossed[best] as number) > CLEAR * usual)) return { samples: recording, lag: null };
  const delay = best - middle;
  const own = correlation(beat, beat, TAPS).subarray(TAPS);
  const first = best - BEFORE;
  const filter = levinson(own, crossed.subarray(first, first + TAPS));
  const heard = filtered(beat, filter, recording.length, delay - BEFORE);
  return { samples: recording.map((value, at) => value - (heard[at] as number)), lag: delay / RATE };
}

function spectrum(
  samples: Float32Array | Float64Array,
  from: number,
  count: number,
  size: number,
  transform: FFT,
): number[] {
  const input = new Array<number>(size).fill(0);
  for (let at = 0; at < count; at++) input[at] = samples[from + at] ?? 0;
  const output = transform.createComplexArray() as number[];
  transform.realTransform(output, input);
  transform.completeSpectrum(output);
  return output;
}

/** Σ a[n + lag]·b[n] for lags −far to far; entry `far` is lag 0. In pieces, so that memory stays small. */
function correlation(a: Float32Array, b: Float32Array, far: number): Float64Array {
  const size = 2 ** Math.ceil(Math.log2(4 * far + 2));
  const piece = size - 2 * far;
  const transform = new FFT(size);
  const sum = new Float64Array(2 * size);
  for (let from = 0; from < b.length; from += piece) {
    const count = Math.min(piece, b.length - from);
    const left = spectrum(a, from - far, count + 2 * far, size, transform);
    const right = spectrum(b, from, count, size, transform);
    for (let bin = 0; bin < 2 * size; bin += 2) {
      const [x, y, u, v] = [left[bin], left[bin + 1], right[bin], right[bin + 1]] as [
        number,
        number,
        number,
        number,
      ];
      sum[bin] = (sum[bin] as number) + x * u + y * v;
      sum[bin + 1] = (sum[bin + 1] as number) + y * u - x * v;
    }
  }
  const out = transform.createComplexArray() as number[];
  transform.inverseTransform(out, Array.from(sum));
  return Float64Array.from({ length: 2 * far + 1 }, (_, at) => out[2 * at] as number);
}

/** Solves the symmetric Toeplitz system of `own` (its first row) for `wanted`. */
function levinson(own: Float64Array, wanted: Float64Array): Float64Array {
  const size = wanted.length;
  // A little of white noise keeps what the beat does not hold from being blown up.
  const zero = (own[0] as number) * 1.0003;
  const solution = new Float64Array(size);
  const a = new Float64Array(size);
  const next = new Float64Array(size);
  a[0] = 1;
  let error = zero;
  solution[0] = (wanted[0] as number) / zero;
  for (let order = 1; order < size; order++) {
    let reflection = 0;
    for (let at = 0; at < order; at++) reflection -= (a[at] as number) * (own[order - at] as number);
    reflection /= error;
    for (let at = 0; at <= order; at++) next[at] = (a[at] as number) + reflection * (a[order - at] as number);
    a.set(next.subarray(0, order + 1));
    error *= 1 - reflection * reflection;
    let rest = wanted[order] as number;
    for (let at = 0; at < order; at++) rest -= (solution[at] as number) * (own[order - at] as number);
    const step = rest / error;
    for (let at = 0; at <= order; at++)
      solution[at] = (solution[at] as number) + step * (a[order - at] as number);
  }
  return solution;
}

/** `length` samples of the beat through the filter, whose first tap is `delay` samples late. */
function filtered(beat: Float32Array, filter: Float64Array, length: number, delay: number): Float64Array {
  const size = 16_384;
  const piece = size - TAPS;
  const transform = new FFT(size);
  const response = spectrum(filter, 0, TAPS, size, transform);
  const out = new Float64Array(length);
  const product = transform.createComplexArray() as number[];
  const sound = transform.createComplexArray() as number[];
  for (let from = 0; from < beat.length; from += piece) {
    const part = spectrum(beat, from, Math.min(piece, beat.length - from), size, transform);
    for (let bin = 0; bin < 2 * size; bin += 2) {
      const [x, y, u, v] = [part[bin], part[bin + 1], response[bin], response[bin + 1]] as [
        number,
        number,
        number,
        number,
      ];
      product[bin] = x * u - y * v;
      product[bin + 1] = x * v + y * u;
    }
    transform.inverseTransform(sound, product);
    for (let at = 0; at < size; at++) {
      const into = from + at + delay;
      if (into >= 0 && into < length) out[into] = (out[into] as number) + (sound[2 * at] as number);
    }
  }
  return out;
}
