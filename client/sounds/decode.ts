/** A sound file that the user brings, decoded by the browser: WAV, FLAC, MP3, OGG, whatever it can. */
import { SAMPLE_RATE } from "../../schemas/sound.ts";

export interface Sound {
  /** Frames a second. */
  readonly rate: number;
  readonly seconds: number;
  /** One or two, −1 to 1. */
  readonly channels: readonly Float32Array[];
}

/** Bytes of a file that is read. */
const LARGEST_FILE = 256 * 1024 * 1024;
/** Seconds that are taken, so that what is kept stays within what the server takes. */
export const LONGEST = 15 * 60;

/** @throws Error with a sentence for the user */
export async function decode(bytes: ArrayBuffer, name: string): Promise<Sound> {
  if (bytes.byteLength > LARGEST_FILE)
    throw new Error(`${name} has more than 256 MB. Cut it to what you need, and bring it again.`);
  let buffer: AudioBuffer;
  try {
    // Decoding resamples to the rate of its context: everything plays at one rate.
    buffer = await new OfflineAudioContext(1, 1, SAMPLE_RATE).decodeAudioData(bytes);
  } catch {
    throw new Error(
      `${name} is no sound that this browser can read. Bring it as WAV, FLAC, MP3 or OGG; what is protected against copying cannot be read.`,
    );
  }
  if (buffer.duration > LONGEST)
    throw new Error(`${name} lasts longer than 15 minutes. Cut it to what you need, and bring it again.`);
  if (buffer.length === 0) throw new Error(`${name} holds no sound at all.`);
  const channels = [0, 1].slice(0, buffer.numberOfChannels).map((index) => buffer.getChannelData(index));
  return { rate: buffer.sampleRate, seconds: buffer.duration, channels };
}
