import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { encodeSamples, wavEnd, type WavOptions, wavStart } from "../../server/sound/wav.ts";
import { readWav, type WavFile } from "../../server/sound/wavread.ts";

const ascii = (bytes: Uint8Array, at: number, length = 4): string =>
  String.fromCharCode(...bytes.subarray(at, at + length));

function write(channels: readonly Float32Array[], more: Partial<WavOptions> = {}): Uint8Array {
  const frames = channels[0]!.length;
  const options: WavOptions = { rate: 48_000, channels: channels.length, frames, ...more };
  const samples = new Uint8Array(3 * frames * channels.length);
  encodeSamples(channels, frames, samples);
  return Buffer.concat([wavStart(options), samples, wavEnd(options)]);
}

function read(bytes: Uint8Array): WavFile {
  const result = readWav(bytes);
  if ("problem" in result) throw new Error(result.problem);
  return result.wav;
}

/** A WAV by hand: format tag, bits, and the bytes of its samples. */
function byHand(
  tag: number,
  bits: number,
  samples: Uint8Array,
  { channels = 1, declared = samples.length } = {},
) {
  const head = Buffer.alloc(44);
  head.write("RIFF", 0, "latin1");
  head.writeUInt32LE(36 + samples.length, 4);
  head.write("WAVEfmt ", 8, "latin1");
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(tag, 20);
  head.writeUInt16LE(channels, 22);
  head.writeUInt32LE(44_100, 24);
  head.writeUInt32LE((44_100 * channels * bits) / 8, 28);
  head.writeUInt16LE((channels * bits) / 8, 32);
  head.writeUInt16LE(bits, 34);
  head.write("data", 36, "latin1");
  head.writeUInt32LE(declared, 40);
  return new Uint8Array(Buffer.concat([head, samples]));
}

describe("a WAV file", () => {
  const left = Float32Array.of(0, 0.5, -0.5, 1, -1, 2, -2, 1 / 8_388_608);
  const right = left.map((value) => -value);

  it("comes back as it was written, to half a step of 24 bits, cut at full scale", () => {
    const { channels, rate, cut } = read(write([left, right]));
    expect(rate).toBe(48_000);
    expect(cut).toBe(false);
    const most = 8_388_607 / 8_388_608;
    expect([...channels[0]!]).toEqual([0, 0.5, -0.5, most, -1, most, -1, 1 / 8_388_608].map(Math.fround));
    expect(channels[1]![3]).toBe(-1);
  });

  it("has sizes that add up, and a byte more where its samples are odd in number", () => {
    const bytes = write([left.subarray(0, 5)]);
    expect(bytes.length % 2).toBe(0);
    expect(new DataView(bytes.buffer, bytes.byteOffset).getUint32(4, true)).toBe(bytes.length - 8);
    expect(read(bytes).channels[0]).toHaveLength(5);
  });

  it("keeps markers in order, with labels in any script", () => {
    const markers = [
      { frame: 0, label: "Quay, 92 quarters a minute, 4/4" },
      { frame: 3, label: "Dünung, Takt 2 · 潮" },
    ];
    expect(read(write([left, right], { title: "Night Ferry", comment: "c", markers })).markers).toEqual(
      markers,
    );
  });

  it("becomes RF64 with the sizes in ds64 where it would pass 4 GB (EBU Tech 3306)", () => {
    const frames = 1_000_000_000;
    const bytes = wavStart({ rate: 48_000, channels: 2, frames });
    const view = new DataView(bytes.buffer, bytes.byteOffset);
    expect(ascii(bytes, 0)).toBe("RF64");
    expect(view.getUint32(4, true)).toBe(0xffff_ffff);
    expect(ascii(bytes, 12)).toBe("ds64");
    expect(view.getUint32(16, true)).toBe(28);
    expect(view.getBigUint64(20, true)).toBe(BigInt(bytes.length - 8) + 6n * BigInt(frames));
    expect(view.getBigUint64(28, true)).toBe(6n * BigInt(frames));
    expect(view.getBigUint64(36, true)).toBe(BigInt(frames));
    expect(ascii(bytes, bytes.length - 8)).toBe("data");
    expect(view.getUint32(bytes.length - 4, true)).toBe(0xffff_ffff);
    // The largest that still is a plain file, and the first that is not.
    const plain = wavStart({ rate: 48_000, channels: 1, frames: 1_431_655_700 });
    expect(ascii(plain, 0)).toBe("RIFF");
    expect(ascii(wavStart({ rate: 48_000, channels: 1, frames: 1_431_655_760 }), 0)).toBe("RF64");
  });

  it("is read with samples of each kind", () => {
    const floats = new Uint8Array(Float32Array.of(0.25, -0.75).buffer);
    expect([...read(byHand(3, 32, floats)).channels[0]!]).toEqual([0.25, -0.75]);
    expect([...read(byHand(3, 64, new Uint8Array(Float64Array.of(0.25).buffer))).channels[0]!]).toEqual([
      0.25,
    ]);
    expect([...read(byHand(1, 8, Uint8Array.of(128, 0, 192))).channels[0]!]).toEqual([0, -1, 0.5]);
    expect([...read(byHand(1, 16, Uint8Array.of(0, 0x80, 0, 0x40))).channels[0]!]).toEqual([-1, 0.5]);
    expect([...read(byHand(1, 24, Uint8Array.of(0, 0, 0xc0, 0, 0, 0x40))).channels[0]!]).toEqual([-0.5, 0.5]);
    expect([...read(byHand(1, 32, Uint8Array.of(0, 0, 0, 0xc0))).channels[0]!]).toEqual([-0.5]);
  });

  it("that declares more than it holds gives what is there, and says so", () => {
    const wav = read(byHand(1, 16, Uint8Array.of(0, 0x40), { declared: 0xffff_fff0 }));
    expect(wav.channels[0]).toHaveLength(1);
    expect(wav.cut).toBe(true);
  });

  it("is silent where a float is no number, and limits infinity to 16", () => {
    const floats = new Uint8Array(Float32Array.of(Number.NaN, Number.POSITIVE_INFINITY).buffer);
    expect([...read(byHand(3, 32, floats)).channels[0]!]).toEqual([0, 16]);
  });

  it("is refused in a sentence where it cannot be read", () => {
    const refusal = (bytes: Uint8Array): string => {
      const result = readWav(bytes);
      return "problem" in result ? result.problem : "";
    };
    expect(refusal(new Uint8Array(3))).toBe("This is no WAV file. Save the sound as WAV and try again.");
    expect(refusal(byHand(2, 4, new Uint8Array(8)))).toBe(
      "The WAV file is compressed; save it as plain PCM.",
    );
    expect(refusal(byHand(1, 16, new Uint8Array(8), { channels: 9 }))).toBe(
      "The WAV file has 9 channels; save it with one or two.",
    );
    expect(refusal(byHand(1, 12, new Uint8Array(8)))).toBe(
      "The WAV file has samples of 12 bits; save it with 16 or 24.",
    );
    expect(refusal(wavStart({ rate: 48_000, channels: 1, frames: 0 }).subarray(0, 12))).toBe(
      "The WAV file does not say how its samples are stored.",
    );
  });

  const seed = Number(process.env.COUNTERCUT_SEED ?? 4);
  it(`changed anywhere or cut gives a result or a problem, never more sound than bytes (seed ${seed})`, () => {
    const whole = write([left, right], { title: "Night Ferry", markers: [{ frame: 3, label: "bar 2" }] });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(whole.length - 1), fc.integer({ min: 0, max: 255 })), { maxLength: 12 }),
        fc.nat(whole.length),
        (changes, length) => {
          const bytes = whole.slice();
          for (const [at, value] of changes) bytes[at] = value;
          const result = readWav(bytes.subarray(0, length));
          if ("problem" in result) expect(result.problem).toMatch(/\.$/);
          else {
            const values = result.wav.channels.reduce((sum, channel) => sum + channel.length, 0);
            expect(values).toBeLessThanOrEqual(bytes.length);
          }
        },
      ),
      { seed, numRuns: 5000 },
    );
  });
});
