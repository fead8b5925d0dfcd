/**
 * Tables prepared from a sample, so that it can be read at any speed, forward and back, without aliases above
 * speed 1 or images below it.
 *
 * A level is the sample with what a speed of 2^(level/6) would lift past half the output rate taken away: flat to
 * 20/24 of its cutoff, nothing from the cutoff on. Levels 0 to 6 are kept at four times the sample's rate, 6 to 12
 * at twice, and so on: the rate is halved each octave, and the level between two octaves is kept at both rates so
 * that neighbours always share one. All rows of a channel lie in one array, each with two values before its start
 * and four after its end, so that six neighbours can be read anywhere without asking.
 */
import {
  AFTER,
  BEFORE,
  fillOctave,
  LEVELS_PER_OCTAVE,
  type Octave,
  OVERSAMPLED,
  spectrumOf,
} from "./levels.ts";

/** Sound as plain numbers: one or two channels of equal length, −1 to 1. */
export interface Pcm {
  /** Samples a second. */
  readonly rate: number;
  readonly channels: readonly Float32Array[];
}

export interface Tables {
  /** Samples a second of record at its own speed; where it is cyclic, exactly a round in its repeat. */
  readonly rate: number;
  /** Samples in one round (cyclic), or from the first to the last that may sound. */
  readonly length: number;
  readonly cyclic: boolean;
  /** Where the cue lies, in samples. */
  readonly origin: number;
  /** One array a channel (one or two), all rows in a line. */
  readonly data: readonly Float32Array[];
  /** Highest level that can be read, possibly 0. */
  readonly top: number;
  /** By whole level below `top`: where its row starts, how far on the next level's row is, steps a sample. */
  readonly offset: Int32Array;
  readonly stride: Int32Array;
  readonly scale: Float64Array;
}

export interface TableOptions {
  /** Seconds after which the sample repeats; 0: it does not. */
  readonly repeatSeconds: number;
  /** Where the cue lies, seconds from the sound's start. Default 0. */
  readonly cueSeconds?: number;
  /** Greatest speed that is read without aliases, 1 to 64; less takes less memory. Default 64. */
  readonly fastest?: number;
  /** Called with 0 to 1 as the work goes on. */
  readonly progress?: (part: number) => void;
}

/** A sample's length is a multiple of this, so that each octave's rows hold a whole number of values. */
const GRAIN = 16;
/** Samples on either side of one that does not repeat, in which its filtered levels may ring. */
const MARGIN = 512;
/** Values in all tables of a sample together: 512 MB. */
export const MOST_VALUES = 128 * 1024 * 1024;

/** Values a sample of `length` samples would take, all channels together. */
export function valuesOf(length: number, channels: number, fastest = 64): number {
  let sum = 0;
  for (const { rows, rate } of octavesFor(fastest)) sum += rows * (length * rate + BEFORE + AFTER);
  return sum * channels;
}

function octavesFor(fastest: number): Octave[] {
  const top = Math.ceil(LEVELS_PER_OCTAVE * Math.log2(Math.max(1, fastest)) - 1e-9);
  const octaves: Octave[] = [];
  for (let level = 0; level === 0 || level < top; level += LEVELS_PER_OCTAVE) {
    const rows = Math.min(LEVELS_PER_OCTAVE, top - level) + 1;
    octaves.push({ level, rows, rate: OVERSAMPLED / 2 ** (level / LEVELS_PER_OCTAVE) });
  }
  return octaves;
}

/** What the tables are made of: one round of the sample, or the sample between two margins of silence. */
function layOut(pcm: Pcm, options: TableOptions): { length: number; origin: number; source: Float64Array[] } {
  const cyclic = options.repeatSeconds > 0;
  const frames = pcm.channels[0]?.length ?? 0;
  const wanted = cyclic ? options.repeatSeconds * pcm.rate : frames + 2 * MARGIN;
  const length = GRAIN * Math.max(1, cyclic ? Math.round(wanted / GRAIN) : Math.ceil(wanted / GRAIN));
  const cue = (options.cueSeconds ?? 0) * pcm.rate;
  // Of a sound longer than its repeat, the round with the cue in it is on the record.
  const first = cyclic ? Math.floor(cue / length) * length : -MARGIN;
  const source = pcm.channels.slice(0, 2).map((channel) => {
    const round = new Float64Array(length);
    for (let i = 0; i < length; i++) {
      const at = first + i;
      if (at >= 0 && at < frames) round[i] = channel[at]!;
    }
    return round;
  });
  return { length, origin: cue - first, source };
}

/** Rows of zeros, as many as the octaves have, and where each starts. */
function emptyRows(length: number, channels: number, octaves: readonly Octave[]) {
  const top = octaves.reduce((sum, { rows }) => sum + rows - 1, 0);
  const levels = Math.max(1, top);
  const offset = new Int32Array(levels);
  const stride = new Int32Array(levels);
  const scale = new Float64Array(levels);
  const starts: number[] = [];
  let total = 0;
  for (const { level, rows, rate } of octaves) {
    const row = length * rate + BEFORE + AFTER;
    for (let j = 0; j < Math.max(1, rows - 1); j++) {
      offset[level + j] = total + j * row;
      stride[level + j] = rows > 1 ? row : 0;
      scale[level + j] = rate;
    }
    starts.push(total);
    total += row * rows;
  }
  // Shared, so that threads that render need no copies.
  const data = Array.from(
    { length: channels },
    () => new Float32Array(new SharedArrayBuffer(total * Float32Array.BYTES_PER_ELEMENT)),
  );
  return { starts, rows: { length, data, top, offset, stride, scale } };
}

/** Of a sample without sound: read as fast as any other, and made at once. */
export function silentTables(rate: number): Tables {
  const { rows } = emptyRows(GRAIN, 1, octavesFor(64));
  return { rate, cyclic: true, origin: 0, ...rows };
}

/**
 * Builds the tables of a sample. Pure, up to half a second for 1.8 s of sound; meant for a worker.
 *
 * @throws RangeError where the sample has no channel or would take more than MOST_VALUES.
 */
export function buildTables(pcm: Pcm, options: TableOptions): Tables {
  const octaves = octavesFor(options.fastest ?? 64);
  if (pcm.channels.length === 0) throw new RangeError("A sample needs at least one channel.");
  const { length, origin, source } = layOut(pcm, options);
  const values = valuesOf(length, source.length, options.fastest);
  if (values > MOST_VALUES) {
    const most = Math.floor((length / pcm.rate) * (MOST_VALUES / values));
    throw new RangeError(`The sample is too long: trim it to ${most} seconds at most.`);
  }
  const cyclic = options.repeatSeconds > 0;
  const spectrum = spectrumOf(source, length, cyclic);
  const { starts, rows } = emptyRows(length, source.length, octaves);
  let done = 0;
  const all = octaves.reduce((sum, { rows, rate }) => sum + rows * rate, 0);
  for (const [index, octave] of octaves.entries()) {
    const row = length * octave.rate + BEFORE + AFTER;
    const into = { data: rows.data, start: starts[index] as number, row, length, cyclic };
    fillOctave(spectrum, octave, into, () => {
      done += octave.rate;
      options.progress?.(Math.min(1, done / all));
    });
  }
  const rate = cyclic ? length / options.repeatSeconds : pcm.rate;
  return { rate, cyclic, origin, ...rows };
}
