/** A plain WAV file, one channel, 16 bits, 48,000 a second. */
export function wav16(samples: Float32Array, rate = 48_000): Blob {
  const view = new DataView(new ArrayBuffer(44 + 2 * samples.length));
  const letters = (at: number, text: string): void => {
    for (let i = 0; i < text.length; i++) view.setUint8(at + i, text.charCodeAt(i));
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
  for (let at = 0; at < samples.length; at++)
    view.setInt16(44 + 2 * at, Math.round(32_767 * Math.max(-1, Math.min(1, samples[at]!))), true);
  return new Blob([view.buffer], { type: "audio/wav" });
}
