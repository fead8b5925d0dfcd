/**
 * Sound as power in bands, a millisecond at a time: what recording and rendering are compared by. A frame is short
 * (5.3 ms) so that attacks stay sharp; both are smeared alike.
 */
import FFT from "fft.js";
import { RATE } from "../sound/rate.ts";

const FRAME = 256;
/** Samples from frame to frame: a millisecond. Frame n is centred on n milliseconds. */
const HOP = RATE / 1000;

/** First bin of each band, and one past the last: a bin each below 1.3 kHz, about a quarter of an octave above. */
export const EDGES: readonly number[] = edges();
export const BANDS = EDGES.length - 1;

function edges(): number[] {
  const all = [1];
  for (let edge = 1; edge < 86; all.push(edge)) edge = Math.max(edge + 1, Math.round(edge * 2 ** 0.25));
  return all;
}

export interface Bands {
  readonly frames: number;
  /** Power, frame by frame, BANDS of each. */
  readonly power: Float32Array;
}

/** @param samples one channel, 48,000 a second */
export function bandsOf(samples: Float32Array): Bands {
  const transform = new FFT(FRAME);
  const window = Float64Array.from(
    { length: FRAME },
    (_, at) => Math.sin((Math.PI * (at + 0.5)) / FRAME) ** 2,
  );
  const frames = Math.floor(samples.length / HOP);
  const power = new Float32Array(frames * BANDS);
  const input = new Array<number>(FRAME).fill(0);
  const output = transform.createComplexArray() as number[];
  for (let frame = 0; frame < frames; frame++) {
    const first = frame * HOP - FRAME / 2;
    for (let at = 0; at < FRAME; at++) input[at] = (samples[first + at] ?? 0) * (window[at] as number);
    transform.realTransform(output, input);
    for (let band = 0; band < BANDS; band++) {
      const from = EDGES[band] as number;
      const to = EDGES[band + 1] as number;
      let sum = 0;
      for (let bin = from; bin < to; bin++)
        sum += (output[2 * bin] as number) ** 2 + (output[2 * bin + 1] as number) ** 2;
      power[frame * BANDS + band] = sum / (to - from) / FRAME;
    }
  }
  return { frames, power };
}
