/**
 * Milliseconds of error that half of all listeners do not hear, for an onset that follows the one before after so many
 * seconds: 6 ms below 240 ms, 2.5 % above (Friberg & Sundberg 1995, "Time discrimination in a monotonic, isochronous
 * sequence", JASA 98(5)). Measured on even sequences; for other rhythms it is the nearest that is published.
 */
export const unheardMs = (gap: number): number => (gap < 0.24 ? 6 : Math.min(25, 25 * gap));

/** Seconds that stand in where nothing came before. */
export const NOTHING_BEFORE = 0.24;
