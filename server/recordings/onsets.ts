/**
 * Onsets in a recording by SuperFlux: Böck, S. & Widmer, G. (2013), "Maximum filter vibrato suppression for onset
 * detection", Proc. DAFx-13. Log-magnitude spectral flux in bands of a twenty-fourth of an octave, each compared with
 * the maximum of its neighbourhood some frames earlier; a peak counts where it stands above the moving average.
 */
import FFT from "fft.js";

export interface OnsetSettings {
  /** Samples a frame, a power of two, and seconds from frame to frame. */
  readonly frame: number;
  readonly hop: number;
  readonly bandsPerOctave: number;
  /** Hertz. */
  readonly lowest: number;
  readonly highest: number;
  /** Seconds before and after a peak in which it must be the greatest, and over which the average is taken. */
  readonly preMax: number;
  readonly postMax: number;
  readonly preAverage: number;
  readonly postAverage: number;
  /** By how much a peak stands above the average. */
  readonly threshold: number;
  /** Seconds within which no second onset is reported. */
  readonly apart: number;
}

/** Tuned on cuts rendered by the program, with noise and beat beneath. */
export const SETTINGS: OnsetSettings = {
  frame: 1024,
  hop: 0.005,
  bandsPerOctave: 24,
  lowest: 30,
  highest: 17_000,
  preMax: 0.03,
  postMax: 0.03,
  preAverage: 0.1,
  postAverage: 0.07,
  threshold: 2.5,
  apart: 0.03,
};

/** Triangular bands on the bins of the transform; bands that would share a bin are one. */
function bands(rate: number, { frame, bandsPerOctave, lowest, highest }: OnsetSettings) {
  const bins: number[] = [];
  for (let step = 0; ; step++) {
    const hertz = lowest * 2 ** (step / bandsPerOctave);
    if (hertz > Math.min(highest, rate / 2)) break;
    const bin = Math.round((hertz * frame) / rate);
    if (bin > 0 && bin !== bins.at(-1)) bins.push(bin);
  }
  return bins.slice(1, -1).map((centre, index) => {
    const from = bins[index] as number;
    const to = bins[index + 2] as number;
    const weights: number[] = [];
    for (let bin = from + 1; bin < to; bin++) {
      weights.push(bin <= centre ? (bin - from) / (centre - from) : (to - bin) / (to - centre));
    }
    return { first: from + 1, weights };
  });
}

/**
 * How much of the spectrum is new at each frame, 0 or above; frame n is centred on n·hop seconds.
 *
 * @param samples one channel, −1 to 1
 * @param rate samples a second
 */
export function flux(samples: Float32Array, rate: number, settings: OnsetSettings = SETTINGS): Float64Array {
  const { frame, hop } = settings;
  const transform = new FFT(frame);
  const window = Float64Array.from(
    { length: frame },
    (_, at) => 0.5 - 0.5 * Math.cos((2 * Math.PI * at) / frame),
  );
  const filters = bands(rate, settings);
  const count = Math.max(0, Math.ceil(samples.length / rate / hop));
  // The lag is the frames in which the window rises to a half, so that the same attack is not compared with itself.
  const lag = Math.max(1, Math.round((frame * 0.25) / (hop * rate)));
  const input = new Array<number>(frame).fill(0);
  const output = transform.createComplexArray() as number[];
  const spectra: Float64Array[] = [];
  const result = new Float64Array(count);
  for (let index = 0; index < count; index++) {
    const centre = Math.round(index * hop * rate);
    for (let at = 0; at < frame; at++) {
      input[at] = (samples[centre - frame / 2 + at] ?? 0) * (window[at] as number);
    }
    transform.realTransform(output, input);
    const spectrum = new Float64Array(filters.length);
    for (const [band, { first, weights }] of filters.entries()) {
      let sum = 0;
      for (const [at, weight] of weights.entries()) {
        const bin = 2 * (first + at);
        sum += weight * Math.hypot(output[bin] as number, output[bin + 1] as number);
      }
      spectrum[band] = Math.log10(1 + sum);
    }
    spectra.push(spectrum);
    const earlier = spectra[index - lag];
    if (earlier === undefined) continue;
    let total = 0;
    for (let band = 0; band < filters.length; band++) {
      const highest = Math.max(earlier[band - 1] ?? 0, earlier[band] as number, earlier[band + 1] ?? 0);
      total += Math.max(0, (spectrum[band] as number) - highest);
    }
    result[index] = total;
    if (index > lag) spectra[index - lag - 1] = EMPTY;
  }
  return result;
}

const EMPTY = new Float64Array(0);

/** Seconds of the onsets, ascending. @param samples one channel, −1 to 1 @param rate samples a second */
export function onsetsIn(samples: Float32Array, rate: number, settings: OnsetSettings = SETTINGS): number[] {
  const novelty = flux(samples, rate, settings);
  const inFrames = (time: number): number => Math.round(time / settings.hop);
  const sums = new Float64Array(novelty.length + 1);
  for (const [index, value] of novelty.entries()) sums[index + 1] = (sums[index] as number) + value;
  const onsets: number[] = [];
  let last = Number.NEGATIVE_INFINITY;
  for (let index = 0; index < novelty.length; index++) {
    const value = novelty[index] as number;
    const from = Math.max(0, index - inFrames(settings.preAverage));
    const to = Math.min(novelty.length, index + inFrames(settings.postAverage) + 1);
    const average = ((sums[to] as number) - (sums[from] as number)) / (to - from);
    if (value < average + settings.threshold) continue;
    let peak = true;
    for (
      let other = index - inFrames(settings.preMax);
      peak && other <= index + inFrames(settings.postMax);
      other++
    ) {
      if ((novelty[other] ?? 0) > value) peak = false;
    }
    const time = refine(samples, rate, index * settings.hop, settings);
    if (!peak || time - last < settings.apart) continue;
    onsets.push(time);
    last = time;
  }
  return onsets;
}

/**
 * A frame is coarse: within it the onset is where the energy rises most, from one millisecond to the next, looking a
 * frame's hop and a half to either side.
 */
function refine(samples: Float32Array, rate: number, coarse: number, { hop }: OnsetSettings): number {
  const span = Math.max(1, Math.round(rate / 1000));
  const energy = (from: number): number => {
    let sum = 1e-9;
    for (let at = from; at < from + span; at++) sum += (samples[at] ?? 0) ** 2;
    return sum;
  };
  const step = Math.max(1, span >> 2);
  let best = coarse;
  let rise = 0;
  const reach = Math.round(hop * 2.5 * rate);
  const centre = Math.round(coarse * rate);
  for (let at = centre - reach; at <= centre + reach; at += step) {
    // Two milliseconds after against two before: less easily fooled by the waveform itself.
    const here = Math.log((energy(at) + energy(at + span)) / (energy(at - span) + energy(at - 2 * span)));
    if (here > rise) {
      rise = here;
      best = at / rate;
    }
  }
  return rise > 1.5 ? best : coarse;
}
