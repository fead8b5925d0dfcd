/** PCM as a WAV file of 24-bit whole numbers (RIFF, format 1), for what the page sends to the server. */

/** @param channels −1 to 1, equally long; louder is cut */
export function wavFile(channels: readonly Float32Array[], rate: number): Blob {
  const frames = channels[0]?.length ?? 0;
  const align = channels.length * 3;
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
  view.setUint16(34, 24, true);
  letters(36, "data");
  view.setUint32(40, size, true);
  for (let frame = 0, at = 44; frame < frames; frame++) {
    for (const channel of channels) {
      const value = Math.round(Math.min(1, Math.max(-1, channel[frame] as number)) * 0x7f_ffff);
      bytes[at++] = value & 0xff;
      bytes[at++] = (value >> 8) & 0xff;
      bytes[at++] = (value >> 16) & 0xff;
    }
  }
  return new Blob([bytes], { type: "audio/wav" });
}
