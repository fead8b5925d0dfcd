/**
 * Takes the known beat out of a recording. The program knows what it played; how it came into the microphone (late,
 * quieter, through loudspeaker and room) is found by least squares: the filter that, applied to the beat as it was
 * rendered, leaves least of the recording (Wiener 1949; Levinson 1947 for the solution).
 */
import FFT from "fft.js";
import { RATE } from "../sound/rate.ts";

/** Samples that are taken as one while the delay is looked for. */
const COARSE = 8;
/**
 * Filters that are tried: how many taps (of 2,048 the last is 43 ms late), and how many of them lie before the delay that
 * was found. A longer one follows a room, but takes some of what the hands play on the beat with it.
 */
const FILTERS: readonly (readonly [taps: number, before: number])[] = [
  [32, 16],
  [128, 32],
  [512, 96],
  [2048, 96],
];
const TAPS = 2048;
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
  const over = recording.subarray(Math.max(0, late));
  const under = beat.subarray(Math.max(0, -late));
  const half = Math.ceil(under.length / 2);
  const halves = [0, half].map((from): Half => {
    const part = under.subarray(from, from + half);
    return {
      own: correlation(part, part, TAPS).subarray(TAPS),
      crossed: correlation(over.subarray(from), part, far),
    };
  }) as [Half, Half];
  const both = {
    crossed: sumOf(halves.map(({ crossed }) => crossed)),
    own: sumOf(halves.map(({ own }) => own)),
  };
  let best = far;
  for (let at = far - 2 * COARSE; at <= far + 2 * COARSE; at++)
    if ((both.crossed[at] as number) > (both.crossed[best] as number)) best = at;
  const delay = late + best - far;
  const solved = ({ own, crossed }: Half, taps: number, before: number): Float64Array =>
    levinson(own, crossed.subarray(best - before, best - before + taps));
  // What a filter that was found in one half takes away in the other: what it does not find there it has made up.
  const takes = FILTERS.map(
    ([taps, before]) =>
      taken(halves[1], solved(halves[0], taps, before), best - before) +
      taken(halves[0], solved(halves[1], taps, before), best - before),
  );
  const [taps, before] = FILTERS[takes.indexOf(Math.max(...takes))] as (typeof FILTERS)[number];
  const heard = filtered(beat, solved(both, taps, before), recording.length, delay - before);
  return { samples: recording.map((value, at) => value - (heard[at] as number)), lag: delay / RATE };
}

/** Of half of the time: the beat's correlation with itself, and the recording's with the beat. */
interface Half {
  readonly own: Float64Array;
  readonly crossed: Float64Array;
}

const sumOf = (lists: readonly Float64Array[]): Float64Array =>
  (lists[0] as Float64Array).map((_, at) => lists.reduce((sum, list) => sum + (list[at] as number), 0));

/** Power that a filter, whose first tap stands at `first` of `crossed`, takes away: 2·h·c − h·R·h. */
function taken({ own, crossed }: Half, filter: Float64Array, first: number): number {
  let sum = 0;
  for (let at = 0; at < filter.length; at++) {
    let through = 0;
    for (let other = 0; other < filter.length; other++)
      through += (filter[other] as number) * (own[Math.abs(at - other)] as number);
    sum += (filter[at] as number) * (2 * (crossed[first + at] as number) - through);
  }
  return sum;
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
  const zero = (own[0] as number) * 1.0003 + 1e-9;
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
