/** All sound is rendered at 48 kHz. */
export const RATE = 48_000;
