/** PCM as the bytes of a WAV file of whole numbers (RIFF, format 1): what page and server hand each other. */

/** @param channels −1 to 1, equally long; louder is cut. @param bits of each number */
export function wavBytes(
  channels: readonly Float32Array[],
  rate: number,
  bits: 16 | 24,
): Uint8Array<ArrayBuffer> {
  const frames = channels[0]?.length ?? 0;
  const align = (channels.length * bits) / 8;
  const size = frames * align;
  const bytes = new Uint8Array(44 + size);
  const view = new DataView(bytes.buffer);
  const letters = (at: number, text: string): void => {
    for (let index = 0; index < text.length; index++) view.setUint8(at + index, text.charCodeAt(index));
  };
  letters(0, "RIFF");
  view.setUint32(4, 36 + size, true);
  letters(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels.length, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * align, true);
  view.setUint16(32, align, true);
  view.setUint16(34, bits, true);
  letters(36, "data");
  view.setUint32(40, size, true);
  const most = 2 ** (bits - 1) - 1;
  for (let frame = 0, at = 44; frame < frames; frame++) {
    for (const channel of channels) {
      const value = Math.round(Math.min(1, Math.max(-1, channel[frame] as number)) * most);
      bytes[at++] = value & 0xff;
      bytes[at++] = (value >> 8) & 0xff;
      if (bits === 24) bytes[at++] = (value >> 16) & 0xff;
    }
  }
  return bytes;
}

export const wavBlob = (...pcm: Parameters<typeof wavBytes>): Blob =>
  new Blob([wavBytes(...pcm)], { type: "audio/wav" });
