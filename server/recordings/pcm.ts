/** A recording as the rest of the room takes it: one channel, at the rate of all sound. */
import { RATE } from "../sound/rate.ts";

/** The mean of all channels. */
export function mono(channels: readonly Float32Array[]): Float32Array {
  const [first] = channels;
  if (first === undefined) return new Float32Array(0);
  const sum = new Float32Array(first.length);
  for (const channel of channels)
    for (let at = 0; at < sum.length; at++)
      sum[at] = (sum[at] as number) + (channel[at] as number) / channels.length;
  return sum;
}

/** Half width of the kernel, in samples of the slower rate. */
const HALF = 16;

/** The same sound at 48,000 samples a second: a windowed sinc at each sample, cut off at the lower of the two. */
export function atRate(samples: Float32Array, rate: number): Float32Array {
  if (rate === RATE) return samples;
  const step = rate / RATE;
  const cutoff = Math.min(1, 1 / step) * 0.95;
  const half = HALF / cutoff;
  const out = new Float32Array(Math.floor(samples.length / step));
  for (let at = 0; at < out.length; at++) {
    const centre = at * step;
    let sum = 0;
    for (let from = Math.ceil(centre - half); from <= centre + half; from++) {
      const value = samples[from];
      if (value === undefined) continue;
      const x = centre - from;
      const sinc = x === 0 ? 1 : Math.sin(Math.PI * cutoff * x) / (Math.PI * cutoff * x);
      sum += value * cutoff * sinc * (0.5 + 0.5 * Math.cos((Math.PI * x) / half));
    }
    out[at] = sum;
  }
  return out;
}
