/**
 * True peak: the largest value between the samples too, found at four times the rate as ITU-R BS.1770-4, Annex 2
 * asks. The interpolator is a windowed sine of our own with 16 taps a phase, longer than the annex's example of 12.
 */

/** Taps before and after the point between two samples. */
export const REACH = 8;
const PHASES = 3;

/** Zeroth-order modified Bessel function, for Kaiser's window. */
function bessel(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

/** Weights of the 16 samples around the points at 1/4, 1/2 and 3/4 between the eighth and the ninth, in a line. */
const WEIGHTS = ((): Float64Array => {
  const beta = 5;
  const weights = new Float64Array(PHASES * 2 * REACH);
  for (let phase = 0; phase < PHASES; phase++) {
    let sum = 0;
    for (let tap = 0; tap < 2 * REACH; tap++) {
      const distance = tap - (REACH - 1) - (phase + 1) / (PHASES + 1);
      const window = bessel(beta * Math.sqrt(Math.max(0, 1 - (distance / REACH) ** 2))) / bessel(beta);
      const sine = Math.sin(Math.PI * distance) / (Math.PI * distance);
      weights[phase * 2 * REACH + tap] = sine * window;
      sum += sine * window;
    }
    for (let tap = 0; tap < 2 * REACH; tap++) {
      weights[phase * 2 * REACH + tap] = weights[phase * 2 * REACH + tap]! / sum;
    }
  }
  return weights;
})();

/** The most that a point between samples can exceed the largest sample around it. */
export const LARGEST_OVERSHOOT = ((): number => {
  let most = 0;
  for (let phase = 0; phase < PHASES; phase++) {
    const row = WEIGHTS.subarray(phase * 2 * REACH, (phase + 1) * 2 * REACH);
    most = Math.max(
      most,
      row.reduce((sum, weight) => sum + Math.abs(weight), 0),
    );
  }
  return most;
})();

const [QUARTER, HALF, THREE_QUARTERS] = [0, 1, 2].map((phase) =>
  WEIGHTS.slice(phase * 2 * REACH, (phase + 1) * 2 * REACH),
) as [Float64Array, Float64Array, Float64Array];

/** Largest size of sample `at` and of the points up to the next one; needs REACH − 1 samples before, REACH after. */
export function peakAt(sound: Float32Array, at: number): number {
  const first = at - REACH + 1;
  let a = 0;
  let b = 0;
  let c = 0;
  for (let tap = 0; tap < 2 * REACH; tap++) {
    const x = sound[first + tap]!;
    a += QUARTER[tap]! * x;
    b += HALF[tap]! * x;
    c += THREE_QUARTERS[tap]! * x;
  }
  return Math.max(Math.abs(sound[at]!), Math.abs(a), Math.abs(b), Math.abs(c));
}
