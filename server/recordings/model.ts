/**
 * What the recording should look like in bands, where the hands did exactly what is meant: the rendering, as loud as
 * it is in the recording and with the room's tail, over what is there without it. The sum of powers, then the
 * logarithm: parallel model combination (Gales & Young 1996, "Robust continuous speech recognition using parallel
 * model combination", IEEE Trans. Speech and Audio Processing 4(5)). The tail falls exponentially (Lebart, Boucher &
 * Denbigh 2001, "A new method based on spectral subtraction for speech dereverberation", Acta Acustica 87).
 */
import { BANDS, type Bands } from "./bands.ts";

/** Log power, frame by frame, BANDS of each. */
export interface Model {
  readonly frames: number;
  readonly log: Float32Array;
}

/** What is in each band without the hands, and by how much the hands are louder than in the rendering. */
export interface Surroundings {
  readonly floor: Float64Array;
  readonly gain: Float64Array;
}

/** The room: its tail's power over that of the direct sound, and seconds in which it falls by 60 dB. */
export interface Room {
  readonly level: number;
  readonly seconds: number;
}

export const ROOMS: readonly Room[] = [
  { level: 0, seconds: 1 },
  ...[0.15, 0.3, 0.6].flatMap((seconds) =>
    [-18, -12, -6].map((decibels) => ({ level: 10 ** (decibels / 10), seconds })),
  ),
];

/** Power under which nothing is heard in any recording: 100 dB under full scale. */
const SILENCE = 1e-10;
/**
 * So much of the floor is added to both before the logarithm, so that the restless log power of noise (a bin of it
 * alone varies by 5 dB) says little.
 */
const SOOTHED = 1.5;
/** Nothing further than this under the loud parts of the rendering counts. */
const DEEPEST = 1e-4;

/** Median of a list that is put in order; undefined where it is empty. */
export const median = (values: number[]): number | undefined =>
  values.sort((a, b) => a - b)[Math.floor(values.length / 2)];

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** The rendering with the room's tail. */
export function inRoom({ frames, power }: Bands, { level, seconds }: Room): Bands {
  if (level === 0) return { frames, power };
  const falls = 10 ** (-6 / (seconds * 1000));
  const tail = new Float64Array(BANDS);
  const out = new Float32Array(power.length);
  for (let at = 0; at < out.length; at++) {
    const band = at % BANDS;
    out[at] = (power[at] as number) + (tail[band] as number);
    // The tail's powers add up to `level`.
    tail[band] = falls * ((tail[band] as number) + level * (1 / falls - 1) * (power[at] as number));
  }
  return { frames, power: out };
}

/**
 * The floor is taken where the rendering has been silent for some time, the gains where it is loud.
 *
 * @param lag frames that the recording is later
 */
export function surroundingsOf(recording: Bands, rendering: Bands, lag: number): Surroundings {
  const loudness = new Float64Array(rendering.frames);
  for (let frame = 0; frame < rendering.frames; frame++)
    for (let band = 0; band < BANDS; band++)
      loudness[frame] = (loudness[frame] as number) + (rendering.power[frame * BANDS + band] as number);
  const loudest = [...loudness].sort((a, b) => a - b)[Math.floor(rendering.frames * 0.95)] ?? 0;
  const silent = silentFrames(loudness, loudest, recording.frames, lag);
  const floor = new Float64Array(BANDS);
  const gain = new Float64Array(BANDS);
  for (let band = 0; band < BANDS; band++) {
    const at = (frame: number): number => recording.power[frame * BANDS + band] as number;
    if (silent.length >= 40) floor[band] = mean(silent.map(at));
    else {
      const all = Array.from({ length: Math.floor(recording.frames / 4) }, (_, index) => at(4 * index));
      all.sort((a, b) => a - b);
      // The tenth part of noise that varies as noise does lies at a tenth of its mean; of a band of several bins higher.
      floor[band] = 3 * (all[Math.floor(all.length / 10)] ?? 0);
    }
    const ratios: number[] = [];
    const loud: number[] = [];
    for (let frame = 0; frame < rendering.frames; frame += 2) {
      const meant = rendering.power[frame * BANDS + band] as number;
      const heard = recording.power[(frame + lag) * BANDS + band];
      if (heard === undefined || (loudness[frame] as number) < 0.02 * loudest) continue;
      loud.push(meant);
      if (meant > 1e-5 * loudest)
        ratios.push(Math.log(Math.max(heard - (floor[band] as number), 1e-14) / meant));
    }
    gain[band] = ratios.length < 20 ? Number.NaN : Math.exp(median(ratios) as number);
    const deepest =
      DEEPEST * (median(loud) ?? 0) * (Number.isNaN(gain[band] as number) ? 1 : (gain[band] as number));
    floor[band] = Math.max(floor[band] as number, deepest) + SILENCE;
  }
  const usual = median([...gain].filter((value) => !Number.isNaN(value))) ?? 1;
  return { floor, gain: gain.map((value) => (Number.isNaN(value) ? usual : value)) };
}

/** Frames of the recording in which the rendering is silent, and was and will be for a while; fewer than 40: none. */
function silentFrames(loudness: Float64Array, loudest: number, frames: number, lag: number): number[] {
  let sounded = Number.NEGATIVE_INFINITY;
  const since = loudness.map((value, frame) => {
    if (value > 1e-4 * loudest) sounded = frame;
    return frame - sounded;
  });
  sounded = Number.POSITIVE_INFINITY;
  const until = new Float64Array(loudness.length);
  for (let frame = loudness.length - 1; frame >= 0; frame--) {
    if ((loudness[frame] as number) > 1e-4 * loudest) sounded = frame;
    until[frame] = sounded - frame;
  }
  for (const [after, before] of [
    [200, 40],
    [80, 40],
    [45, 30],
  ] as const) {
    const silent: number[] = [];
    for (let frame = Math.max(0, -lag); frame < Math.min(loudness.length, frames - lag); frame++)
      if ((since[frame] as number) > after && (until[frame] as number) > before) silent.push(frame + lag);
    if (silent.length >= 40) return silent;
  }
  return [];
}

/** Log power of a band in which the hands have so much, as loud as they are in the recording. */
export const logExpected = (power: number, { floor, gain }: Surroundings, band: number): number =>
  Math.log(power * (gain[band] as number) + (1 + SOOTHED) * (floor[band] as number));

export function expectedModel({ frames, power }: Bands, surroundings: Surroundings): Model {
  const log = new Float32Array(frames * BANDS);
  for (let at = 0; at < log.length; at++)
    log[at] = logExpected(power[at] as number, surroundings, at % BANDS);
  return { frames, log };
}

export function heardModel({ frames, power }: Bands, { floor }: Surroundings): Model {
  const log = new Float32Array(frames * BANDS);
  for (let at = 0; at < log.length; at++)
    log[at] = Math.log((power[at] as number) + SOOTHED * (floor[at % BANDS] as number));
  return { frames, log };
}

/** Log power of what is there without the hands, as both models have it. */
export const emptyModel = ({ floor }: Surroundings): Float64Array =>
  floor.map((power) => Math.log((1 + SOOTHED) * power));
