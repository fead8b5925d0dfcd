/**
 * How a value between six equidistant table values is found: O. Niemitalo (2001), Polynomial Interpolators for
 * High-Quality Resampling of Oversampled Audio, "Optimal 4x (6-point, 5th-order) (z-form)".
 *
 * With z = x − 1/2 for x in 0 to 1 between the third and the fourth value, coefficient k of the polynomial in z is
 * a sum over the three pairs of values around the middle: of their sums where k is even, of their differences
 * (later − earlier) where it is odd. Innermost pair first.
 */
export const KERNEL = [
  [0.41496902959240894, 0.08343081932889224, 0.0016001503868157],
  [0.31625515004859783, 0.21197848565176958, 0.00956166668408054],
  [-0.20327189654887537, 0.1798990843224928, 0.02337283412161328],
  [-0.20209241069835732, 0.01760734419526, 0.02985927012435252],
  [0.0410094885876191, -0.06147760875085254, 0.02046802954581191],
  [0.06607747864416924, -0.0325507921195362, 0.00628989632244913],
] as const;

/** Weight of a table value at a distance (0 and up, in table steps) from where is read; 0 from 3 on. */
export function weightAt(distance: number): number {
  const pair = Math.floor(distance);
  if (pair > 2) return 0;
  const z = pair + 0.5 - distance;
  let weight = 0;
  for (let k = 5; k >= 0; k--) weight = weight * z + KERNEL[k]![pair]!;
  return weight;
}

/** Nodes and weights of Gauss and Legendre's rule of eight points on −1 to 1; from memory, tested by its sums. */
const NODES = [0.1834346424956498, 0.525532409916329, 0.7966664774136267, 0.9602898564975363];
const NODE_WEIGHTS = [0.362683783378362, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763];

/**
 * Response of the kernel to a frequency (cycles a table step): the integral of its weight times the cosine. It
 * droops by 1.62 dB at 1/8, so tables are made with its inverse.
 */
export function kernelResponse(frequency: number): number {
  const omega = 2 * Math.PI * frequency;
  let sum = 0;
  for (let pair = 0; pair < 3; pair++) {
    for (let node = 0; node < 4; node++) {
      const half = NODES[node]! / 2;
      for (const at of [pair + 0.5 - half, pair + 0.5 + half]) {
        sum += NODE_WEIGHTS[node]! * weightAt(at) * Math.cos(omega * at);
      }
    }
  }
  return sum;
}
