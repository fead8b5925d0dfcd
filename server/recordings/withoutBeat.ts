/**
 * Takes the known beat out of a recording. The program knows what it played; how it came into the microphone (late,
 * quieter, through loudspeaker and room) is found by least squares: the filter that, applied to the beat as it was
 * rendered, leaves least of the recording (Wiener 1949; Levinson 1947 for the solution).
 */
import FFT from "fft.js";
import { RATE } from "../sound/rate.ts";

/** Samples that are taken as one while the delay is looked for. */
const COARSE = 8;
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
  const late = roughDelay(recording, beat, Math.round(reach * RATE));
  if (late === null) return { samples: recording, lag: null };
  const far = TAPS + COARSE;
  const crossed = correlation(recording.subarray(Math.max(0, late)), beat.subarray(Math.max(0, -late)), far);
  let best = far;
  for (let at = far - 2 * COARSE; at <= far + 2 * COARSE; at++)
    if ((crossed[at] as number) > (crossed[best] as number)) best = at;
  const delay = late + best - far;
  const own = correlation(beat, beat, TAPS).subarray(TAPS);
  const first = best - BEFORE;
  const filter = levinson(own, crossed.subarray(first, first + TAPS));
  const heard = filtered(beat, filter, recording.length, delay - BEFORE);
  return { samples: recording.map((value, at) => value - (heard[at] as number)), lag: delay / RATE };
}

/** Samples that the beat is late, to a few; null where it is not heard. */
function roughDelay(recording: Float32Array, beat: Float32Array, reach: number): number | null {
  const thin = (samples: Float32Array): Float32Array =>
    Float32Array.from({ length: Math.floor(samples.length / COARSE) }, (_, at) => {
      let sum = 0;
      for (let by = 0; by < COARSE; by++) sum += samples[at * COARSE + by] as number;
      return sum;
    });
  const far = Math.ceil(reach / COARSE);
  const crossed = correlation(thin(recording), thin(beat), far);
  let best = far;
  let sum = 0;
  for (const [at, value] of crossed.entries()) {
    sum += value * value;
    if (value > (crossed[best] as number)) best = at;
  }
  return (crossed[best] as number) > CLEAR * Math.sqrt(sum / crossed.length) ? (best - far) * COARSE : null;
}

/** Makes spectra of one size, as real and imaginary parts in turn; each lasts until the one after the next. */
function spectra(size: number) {
  const transform = new FFT(size);
  const input = new Array<number>(size).fill(0);
  const outputs = [
    transform.createComplexArray() as number[],
    transform.createComplexArray() as number[],
  ] as const;
  let turn: 0 | 1 = 0;
  return {
    transform,
    of(samples: Float32Array | Float64Array, from: number, count: number): number[] {
      for (let at = 0; at < size; at++) input[at] = at < count ? (samples[from + at] ?? 0) : 0;
      turn = turn === 0 ? 1 : 0;
      transform.realTransform(outputs[turn], input);
      transform.completeSpectrum(outputs[turn]);
      return outputs[turn];
    },
  };
}

/** Σ a[n + lag]·b[n] for lags −far to far; entry `far` is lag 0. In pieces, so that memory stays small. */
function correlation(a: Float32Array, b: Float32Array, far: number): Float64Array {
  const size = 2 ** Math.ceil(Math.log2(4 * far + 2));
  const piece = size - 2 * far;
  const { transform, of } = spectra(size);
  const sum = new Float64Array(2 * size);
  for (let from = 0; from < b.length; from += piece) {
    const count = Math.min(piece, b.length - from);
    const left = of(a, from - far, count + 2 * far);
    const right = of(b, from, count);
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
  const { transform, of } = spectra(size);
  const response = [...of(filter, 0, TAPS)];
  const out = new Float64Array(length);
  const product = transform.createComplexArray() as number[];
  const sound = transform.createComplexArray() as number[];
  for (let from = 0; from < beat.length; from += piece) {
    const part = of(beat, from, Math.min(piece, beat.length - from));
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
