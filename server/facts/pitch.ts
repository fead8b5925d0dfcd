/** How high the record sounds at a speed. */

/**
 * Semitones above the sample's own pitch at `speed` times the platter's: 12·log2 |speed|, the same forward and back.
 * Null at speed 0, which has no pitch.
 */
export const semitones = (speed: number): number | null =>
  speed === 0 ? null : 12 * Math.log2(Math.abs(speed));
