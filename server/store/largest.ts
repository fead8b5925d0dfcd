/** How many bytes of a file are read at most, so that none fills the memory. */

export const LARGEST_JOURNAL = 256 * 1024 * 1024;
/** A sound that a routine plays, about ten minutes in stereo; or a recording, half an hour in mono, 16 bits. */
export const LARGEST_SOUND = 256 * 1024 * 1024;
