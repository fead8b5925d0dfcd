/** The built-in samples: five sounds of different character, synthesised, the same each time. */
import type { BuiltInSample } from "../../schemas/routine.ts";
import { filter } from "./filter.ts";
import { addHarmonics, between, mouth, VOWELS } from "./harmonics.ts";
import { seeded } from "./random.ts";
import { RATE } from "./rate.ts";
import type { Pcm } from "./tables.ts";

/** `BuiltInSample` is a schema; this is one of its values. */
export type BuiltIn = (typeof BuiltInSample)["options"][number];

/** Seconds of a round at 360 degrees and 33 1/3 r/min, for which the sounds are made. */
const TURN = 1.8;

/** 0 to 1 in `attack` seconds, and back to 0 in the last `release`, both eased. */
function envelope(time: number, seconds: number, attack: number, release: number): number {
  const part = Math.max(0, Math.min(1, time / attack, (seconds - time) / release));
  return 0.5 - 0.5 * Math.cos(Math.PI * part);
}

/** A voice that glides from "ah" over "oo" to "ee". */
function vowel(sound: Float32Array, seconds: number): void {
  addHarmonics(sound, 0, {
    seconds,
    pitch: (time) => 128 - 14 * (time / seconds) + 1.2 * Math.sin(2 * Math.PI * 5.3 * time),
    level(hertz, time) {
      const part = time / seconds;
      const shape =
        part < 0.5
          ? between(VOWELS.ah, VOWELS.oo, (part - 0.12) / 0.38)
          : between(VOWELS.oo, VOWELS.ee, (part - 0.5) / 0.3);
      return (envelope(time, seconds, 0.006, 0.2) * mouth(shape, hertz)) / hertz;
    },
  });
}

/** Four notes of a brass-like chord, hit hard; the lips open, then close. */
function stab(sound: Float32Array, seconds: number): void {
  for (const [index, hertz] of [174.6, 207.7, 261.6, 349.2].entries()) {
    for (const detune of [0.9975, 1.0027]) {
      addHarmonics(sound, 0, {
        seconds,
        pitch: (time) => hertz * detune * (1 - 0.02 * Math.exp(-time / 0.02)),
        level(harmonic, time) {
          const open = 900 + 5000 * Math.exp(-time / 0.16) * Math.min(1, time / 0.025);
          const bright = 1 / Math.sqrt(1 + (harmonic / open) ** 6);
          const loud = envelope(time, seconds, 0.005, 0.25) * (0.6 + 0.4 * Math.exp(-time / 0.25));
          return (loud * bright * (1 - 0.1 * index) * hertz) / harmonic;
        },
      });
    }
  }
}

/** Three bursts of noise, each higher and shorter than the one before. */
function noise(sound: Float32Array, seconds: number): void {
  const random = seeded(5);
  const bursts = [
    { at: 0, length: 0.46, hertz: 900 },
    { at: 0.5, length: 0.28, hertz: 2200 },
    { at: 0.82, length: 0.16, hertz: 5200 },
  ];
  for (const { at, length, hertz } of bursts) {
    const from = Math.round(((at * seconds) / 1.2) * RATE);
    const frames = Math.min(sound.length - from, Math.round(((length * seconds) / 1.2) * RATE));
    const burst = Float32Array.from({ length: Math.max(0, frames) }, () => random() + random() - 1);
    filter(burst, "bandpass", hertz, 1.1);
    filter(burst, "highpass", hertz / 2);
    for (let i = 0; i < burst.length; i++) {
      const loud = envelope(i / RATE, frames / RATE, 0.003, 0.08) * Math.exp((-2 * i) / frames);
      sound[from + i] = sound[from + i]! + loud * burst[i]!;
    }
  }
}

/** A sine all the way round, a whole number of cycles, so that it never breaks: A as near 440 Hz as that allows. */
function tone(sound: Float32Array): void {
  const cycles = Math.round((440 * sound.length) / RATE);
  for (let i = 0; i < sound.length; i++) sound[i] = Math.sin((2 * Math.PI * cycles * i) / sound.length);
}

/** "Dawk": a tongue lets go, a vowel opens and rounds, the throat closes. */
function syllable(sound: Float32Array, seconds: number): void {
  const scale = seconds / 1.2;
  const random = seeded(11);
  const burst = (at: number, length: number, hertz: number, level: number): void => {
    const from = Math.round(at * scale * RATE);
    const part = Float32Array.from({ length: Math.round(length * RATE) }, () => random() + random() - 1);
    filter(part, "bandpass", hertz, 1.4);
    for (let i = 0; i < part.length && from + i < sound.length; i++) {
      sound[from + i] = sound[from + i]! + level * part[i]! * Math.exp((-5 * i) / part.length);
    }
  };
  const voiced = 0.52 * scale;
  addHarmonics(sound, Math.round(0.008 * RATE), {
    seconds: voiced,
    pitch: (time) => 152 - 60 * (time / voiced) ** 0.7,
    level(hertz, time) {
      const shape =
        time < 0.06
          ? between([300, 1750, 2650], VOWELS.ah, time / 0.06)
          : between(VOWELS.ah, VOWELS.aw, (time - 0.06) / (voiced - 0.1));
      return (160 * envelope(time, voiced, 0.01, 0.05) * mouth(shape, hertz)) / hertz;
    },
  });
  burst(0, 0.03, 3600, 8);
  burst(0.6, 0.05, 1900, 5);
}

/** Brings the loud part to −15 dB root mean square, or the peak to 0.95 if that comes first. */
function level(sound: Float32Array): void {
  let peak = 0;
  for (const value of sound) peak = Math.max(peak, Math.abs(value));
  let sum = 0;
  let count = 0;
  for (const value of sound) {
    if (Math.abs(value) < peak / 30) continue;
    sum += value * value;
    count++;
  }
  if (count === 0) return;
  const gain = Math.min(0.95 / peak, 0.178 / Math.sqrt(sum / count));
  for (let i = 0; i < sound.length; i++) sound[i] = sound[i]! * gain;
}

const MAKERS: Readonly<Record<BuiltIn, (sound: Float32Array, seconds: number) => void>> = {
  vowel,
  stab,
  noise,
  tone,
  syllable,
};
/** Seconds that each sounds in a turn; the rest of the round is silence, so that its start is heard. */
const LASTS: Readonly<Record<BuiltIn, number>> = {
  vowel: 1.35,
  stab: 1.4,
  noise: 1.2,
  tone: TURN,
  syllable: 1.2,
};

/**
 * One mono round of a built-in sample.
 *
 * @param roundSeconds how long the round is; 0 for a sample that does not repeat. In a shorter round than a turn of
 * 33 1/3 the sound is shorter, in a longer one there is more silence.
 */
export function builtInSample(id: BuiltIn, roundSeconds: number): Pcm {
  const round = roundSeconds > 0 ? roundSeconds : TURN;
  const sound = new Float32Array(Math.round(round * RATE));
  MAKERS[id](sound, Math.min(LASTS[id], (round * LASTS[id]) / TURN));
  level(sound);
  return { rate: RATE, channels: [sound] };
}
