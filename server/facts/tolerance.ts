/** Two numbers of degrees or seconds are the same within one part in a million; a limit is included in what it allows. */
const SAME = 1e-6;

export const isSame = (a: number, b: number): boolean =>
  Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b));

export const atMost = (a: number, limit: number): boolean => a <= limit || isSame(a, limit);
