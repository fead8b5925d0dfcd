/** What server and page have to agree on about sound itself; without zod, since the audio thread has no use for it. */

/** All sound is rendered, sent and heard at 48 kHz. */
export const SAMPLE_RATE = 48_000;

/** Channels of a block, in this order, each planar 32-bit floats. */
export const CHANNELS = [
  "scratch-left",
  "scratch-right",
  "fader",
  "others-left",
  "others-right",
  "beat-left",
  "beat-right",
  "clicks-left",
  "clicks-right",
] as const;

/**
 * Gains at which the channels stand to each other when all levels are full: a scratch that stands over its beat, with
 * room for a hard stroke.
 */
export const BALANCE = { scratch: 0.3, beat: 0.9, clicks: 0.5 } as const;

/** Columns that the picture of what is heard has in each bar. */
export const HEARD_COLUMNS = 640;
