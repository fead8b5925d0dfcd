/** Measures of sound that the tests share: what is left of a signal beside the sine that it should be. */
import FFT from "fft.js";

/** A window with side lobes far under 150 dB: the product of two four-term Blackman–Harris windows. */
function window(i: number, size: number): number {
  const x = (2 * Math.PI * i) / size;
  const w = 0.35875 - 0.48829 * Math.cos(x) + 0.14128 * Math.cos(2 * x) - 0.01168 * Math.cos(3 * x);
  return w * w;
}

/** Power by bin, of the first power of two of frames. */
export function powers(signal: Float32Array | Float64Array): Float64Array {
  const size = 2 ** Math.floor(Math.log2(signal.length));
  const data = new Float64Array(2 * size);
  for (let i = 0; i < size; i++) data[2 * i] = signal[i]! * window(i, size);
  const out = new Float64Array(2 * size);
  new FFT(size).transform(out, data);
  return Float64Array.from({ length: size / 2 }, (_, k) => out[2 * k]! ** 2 + out[2 * k + 1]! ** 2);
}

/** The window's lobe is this many bins wide on either side. */
const LOBE = 12;

/**
 * dB by which all that lies under `edge` (cycles a frame) and is not the sine of `frequency` is weaker than a full
 * sine; where the sine itself lies above the edge, all that lies under it counts.
 */
export function restBelow(signal: Float32Array, frequency: number, edge: number): number {
  const size = 2 ** Math.floor(Math.log2(signal.length));
  const full = Float64Array.from({ length: size }, (_, i) => Math.sin(2 * Math.PI * 0.1234 * i));
  const reference = powers(full).reduce((sum, p) => sum + p, 0);
  const found = powers(signal);
  const centre = Math.round(frequency * size);
  let rest = 0;
  for (let k = 0; k < edge * size; k++) if (Math.abs(k - centre) > LOBE) rest += found[k]!;
  return 10 * Math.log10(reference / rest);
}
