/** A plain WAV file of one channel in 16 bits, for listening beside a recording. */
export function encode16(samples: Float32Array, rate: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(44 + 2 * samples.length);
  const view = new DataView(bytes.buffer);
  const letters = (at: number, text: string): void => {
    for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
  };
  letters(0, "RIFF");
  view.setUint32(4, 36 + 2 * samples.length, true);
  letters(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, 2 * rate, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  letters(36, "data");
  view.setUint32(40, 2 * samples.length, true);
  for (const [at, value] of samples.entries())
    view.setInt16(44 + 2 * at, Math.round(32_767 * Math.max(-1, Math.min(1, value))), true);
  return bytes;
}
