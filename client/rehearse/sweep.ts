/** A short sweep, and where it is found again in a recording. */

const RATE = 48_000;
/** A tenth of a second from 500 Hz to 6,000 Hz, evenly in octaves (an exponential sweep), with soft ends. */
const FRAMES = 4_800;
const [LOW, HIGH] = [500, 6_000];

export function sweep(): Float32Array {
  const octaves = Math.log(HIGH / LOW);
  const seconds = FRAMES / RATE;
  return Float32Array.from({ length: FRAMES }, (_, frame) => {
    const part = frame / FRAMES;
    const phase = ((2 * Math.PI * LOW * seconds) / octaves) * (Math.exp(octaves * part) - 1);
    const ends = Math.min(1, part / 0.3, (1 - part) / 0.3);
    return Math.sin(phase) * (0.5 - 0.5 * Math.cos(Math.PI * ends));
  });
}

export interface Found {
  /** Frames from the recording's start, between two frames by a parabola through the peak. */
  readonly lag: number;
  /** How much of what was recorded there is the sweep: the correlation, 0 to 1. */
  readonly strength: number;
}

/** Cross-correlation, the greatest of all lags at which the sweep fits into the recording. */
export function find(played: Float32Array, recorded: Float32Array): Found {
  const lags = recorded.length - played.length + 1;
  const products = new Float64Array(Math.max(0, lags));
  for (let lag = 0; lag < lags; lag++) {
    let sum = 0;
    for (let frame = 0; frame < played.length; frame++) sum += played[frame]! * recorded[lag + frame]!;
    products[lag] = sum;
  }
  let peak = 0;
  for (let lag = 1; lag < lags; lag++) if (Math.abs(products[lag]!) > Math.abs(products[peak]!)) peak = lag;
  const energy = (samples: Float32Array): number => samples.reduce((sum, sample) => sum + sample * sample, 0);
  const scale = Math.sqrt(energy(played) * energy(recorded.subarray(peak, peak + played.length)));
  const [before, at, after] = [products[peak - 1], products[peak], products[peak + 1]].map((p) =>
    Math.abs(p ?? 0),
  );
  const bend = before! - 2 * at! + after!;
  const between = bend === 0 || peak === 0 || peak === lags - 1 ? 0 : (before! - after!) / (2 * bend);
  return { lag: peak + between, strength: scale === 0 ? 0 : at! / scale };
}
