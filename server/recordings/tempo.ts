/**
 * Tempo and first beat of a recorded drum loop that keeps one tempo.
 *
 * The onset strength is compared with itself at whole multiples of a beat (a comb on its autocorrelation), weighed by
 * how likely a tempo is felt as the beat: a bell over the logarithm around 500 ms, after van Noorden, L. & Moelants, D.
 * (1999), "Resonance in the perception of musical pulse", J. New Music Research 28(1). That finds the tempo to about a
 * percent. Then every onset, known to a millisecond, is given its sixteenth, and a straight line is laid through all of
 * them, each place in the bar having a lateness of its own: swing and a lazy snare change no tempo.
 */
import { flux, onsetsIn, SETTINGS } from "./onsets.ts";

export interface FoundTempo {
  /** Quarters a minute. */
  readonly tempo: number;
  /** Seconds from the start of the recording to the first beat. */
  readonly firstBeat: number;
  /** Other tempos that the same sounds could be felt at (half, double, three against two), likeliest first. */
  readonly others: readonly number[];
  /** Seconds that onsets stray from their places, as a root mean square; small where the grid fits. */
  readonly spread: number;
}

const { hop } = SETTINGS;
const [SLOWEST, FASTEST] = [50, 220];
/** Tempos that are tried, each so much faster than the one before. */
const STEP = 1.0025;
/** The beat that is felt most readily, and the width of the bell, in octaves. */
const PREFERRED = 110;
const WIDTH = 0.6;
const MOST_BEATS = 16;
/** Onsets that are needed for a tempo. */
const FEWEST = 6;
const PLACES = 16;

/** What is heard below so many hertz is the bass, which mostly plays on the beat; so far around an onset, seconds. */
const BASS = 120;
const AROUND = 0.03;
/** How much the bass says of where the beat is, against all that is heard; and the first onset. */
const BASS_COUNTS = 0.3;
const FIRST_COUNTS = 0.2;

const prior = (tempo: number): number => Math.exp(-0.5 * (Math.log2(tempo / PREFERRED) / WIDTH) ** 2);

/** Seconds of silence that are put before the recording, so that a beat at its very start begins after something. */
const BEFORE = 0.1;

/** @param samples one channel, −1 to 1 @returns a sentence where there is no steady beat to be found */
export function tempoOf(samples: Float32Array, rate: number): FoundTempo | { readonly problem: string } {
  const padding = Math.round(BEFORE * rate);
  const padded = new Float32Array(padding + samples.length);
  padded.set(samples, padding);
  const strength = flux(padded, rate);
  const onsets = onsetsIn(padded, rate);
  if (onsets.length < FEWEST) {
    return {
      problem: "There are too few beats in this recording to find a tempo by. Set it by hand, or tap it.",
    };
  }
  const bass = bassAt(padded, rate, onsets);
  const likeness = autocorrelation(strength);
  const candidates = peaks(likeness);
  const fits = candidates
    .slice(0, 6)
    .map(({ tempo, score }) => ({ ...fitted(onsets, strength, bass, tempo), score }))
    .sort((a, b) => b.score - a.score);
  const [best] = fits;
  if (best === undefined) {
    return { problem: "No steady tempo was found in this recording. Set it by hand, or tap it." };
  }
  return {
    tempo: best.tempo,
    firstBeat: Math.max(0, best.firstBeat - padding / rate),
    others: fits.slice(1).map(({ tempo }) => tempo),
    spread: best.spread,
  };
}

/** Of the strength less its mean, at lags of frames up to the longest comb; 1 at no lag. */
function autocorrelation(strength: Float64Array): Float64Array {
  const mean = strength.reduce((sum, value) => sum + value, 0) / strength.length;
  const centred = strength.map((value) => Math.min(value, 8 * mean) - mean);
  const lags = Math.min(strength.length >> 1, Math.ceil((MOST_BEATS * 60) / SLOWEST / hop));
  const result = new Float64Array(lags + 1);
  for (let lag = 0; lag <= lags; lag++) {
    let sum = 0;
    for (let at = lag; at < centred.length; at++)
      sum += (centred[at] as number) * (centred[at - lag] as number);
    result[lag] = sum / (centred.length - lag);
  }
  const none = result[0] || 1;
  return result.map((value) => value / none);
}

/** Tempos at which the comb fits better than beside them, best first. */
function peaks(likeness: Float64Array): { tempo: number; score: number }[] {
  const at = (seconds: number): number => {
    const place = seconds / hop;
    const low = Math.floor(place);
    const part = place - low;
    return (likeness[low] ?? 0) * (1 - part) + (likeness[low + 1] ?? 0) * part;
  };
  const tried: { tempo: number; score: number }[] = [];
  for (let tempo = SLOWEST; tempo <= FASTEST; tempo *= STEP) {
    const beat = 60 / tempo;
    let sum = 0;
    let weight = 0;
    for (let beats = 1; beats <= MOST_BEATS && beats * beat < (likeness.length - 2) * hop; beats++) {
      sum += at(beats * beat) / beats ** 0.5;
      weight += 1 / beats ** 0.5;
    }
    // A beat is also divided in two and four: what falls between counts a little.
    const between = 0.25 * (at(beat / 2) + at(beat / 4));
    tried.push({ tempo, score: weight === 0 ? 0 : (sum / weight + between) * prior(tempo) });
  }
  return tried
    .filter(
      ({ score }, index) =>
        score > 0 && score >= (tried[index - 1]?.score ?? 0) && score > (tried[index + 1]?.score ?? 0),
    )
    .sort((a, b) => b.score - a.score);
}

/** Lays the grid through the onsets, at a tempo that is known to a percent or so. */
function fitted(onsets: readonly number[], strength: Float64Array, bass: readonly number[], about: number) {
  const weights = onsets.map((time) => strengthAt(strength, time));
  let step = 15 / about;
  let start = phaseOf(onsets, weights, step);
  // Slopes are corrected a little further from the start each time: a percent would be a sixteenth after six bars.
  const reach = (onsets.at(-1) as number) - (onsets[0] as number);
  for (let span = Math.min(2, reach); ; span = Math.min(2 * span, reach)) {
    const used = onsets.filter((time) => time - (onsets[0] as number) <= span + 1e-9);
    ({ step, start } = line(used, weights, step, start));
    if (span >= reach) break;
  }
  for (let turn = 0; turn < 3; turn++) ({ step, start } = line(onsets, weights, step, start));
  const beat = beatPlace(onsets, weights, bass, step, start);
  const { late, spread } = lateness(onsets, weights, step, start);
  // The place of the beat with what it is late itself: where it sounds.
  const offset = late[((beat % PLACES) + PLACES) % PLACES] ?? 0;
  const first = firstBeatOf(onsets, step, start + beat * step + offset);
  return { tempo: 15 / step, firstBeat: first, spread };
}

function strengthAt(strength: Float64Array, time: number): number {
  const frame = Math.round(time / hop);
  return Math.max(strength[frame - 1] ?? 0, strength[frame] ?? 0, strength[frame + 1] ?? 0);
}

/** By how much the power of the bass rises at each onset. */
function bassAt(samples: Float32Array, rate: number, onsets: readonly number[]): number[] {
  const follow = 1 - Math.exp((-2 * Math.PI * BASS) / rate);
  const power = new Float64Array(samples.length + 1);
  let [once, twice] = [0, 0];
  for (const [at, value] of samples.entries()) {
    once += follow * (value - once);
    twice += follow * (once - twice);
    power[at + 1] = (power[at] as number) + twice * twice;
  }
  const within = (from: number, to: number): number => {
    const [first, past] = [from, to].map((time) =>
      Math.max(0, Math.min(samples.length, Math.round(time * rate))),
    ) as [number, number];
    return (power[past] as number) - (power[first] as number);
  };
  return onsets.map((time) => Math.max(0, within(time, time + AROUND) - within(time - AROUND, time)));
}

/** Where the sixteenths lie, by the mean of the onsets' places on a circle. */
function phaseOf(onsets: readonly number[], weights: readonly number[], step: number): number {
  let [x, y] = [0, 0];
  const [first = 0] = onsets;
  for (const [index, time] of onsets.entries()) {
    if (time - first > 8 * step * 4) break;
    const angle = (2 * Math.PI * time) / step;
    x += (weights[index] ?? 0) * Math.cos(angle);
    y += (weights[index] ?? 0) * Math.sin(angle);
  }
  return (Math.atan2(y, x) / (2 * Math.PI)) * step;
}

const placeOf = (number: number): number => ((number % PLACES) + PLACES) % PLACES;

/** How late each place in the bar is on the whole (seconds), and how far single onsets stray from that. */
function lateness(onsets: readonly number[], weights: readonly number[], step: number, start: number) {
  const sums = new Float64Array(PLACES);
  const counts = new Float64Array(PLACES);
  const numbers = onsets.map((time) => Math.round((time - start) / step));
  for (const [index, time] of onsets.entries()) {
    const number = numbers[index] as number;
    sums[placeOf(number)]! += (weights[index] ?? 0) * (time - start - number * step);
    counts[placeOf(number)]! += weights[index] ?? 0;
  }
  const late = sums.map((sum, place) => (counts[place] === 0 ? 0 : sum / (counts[place] as number)));
  let squares = 0;
  for (const [index, time] of onsets.entries()) {
    const number = numbers[index] as number;
    squares += (time - start - number * step - (late[placeOf(number)] as number)) ** 2;
  }
  return { late, spread: Math.sqrt(squares / onsets.length) };
}

/** The straight line through the onsets of all places at once, each place less its own lateness. */
function line(onsets: readonly number[], weights: readonly number[], step: number, start: number) {
  const rows = onsets.map((time, index) => {
    const number = Math.round((time - start) / step);
    return { number, time, weight: weights[index] ?? 0 };
  });
  // Only onsets of one place are compared with each other: their distances are whole bars, whatever the feel.
  const means = new Map<number, { number: number; time: number; weight: number }>();
  for (const { number, time, weight } of rows) {
    const mean = means.get(placeOf(number)) ?? { number: 0, time: 0, weight: 0 };
    mean.number += weight * number;
    mean.time += weight * time;
    mean.weight += weight;
    means.set(placeOf(number), mean);
  }
  let across = 0;
  let along = 0;
  for (const { number, time, weight } of rows) {
    const mean = means.get(placeOf(number));
    if (mean === undefined || mean.weight === 0) continue;
    const ahead = number - mean.number / mean.weight;
    across += weight * ahead * (time - mean.time / mean.weight);
    along += weight * ahead ** 2;
  }
  // Within less than two bars no place comes twice: then all are taken as they are.
  if (along < 1e-9) return plainLine(rows, step, start);
  const slope = across / along;
  const total = rows.reduce((sum, { weight }) => sum + weight, 0);
  const at =
    rows.reduce((sum, { number, time, weight }) => sum + weight * (time - slope * number), 0) / total;
  return { step: slope, start: at };
}

function plainLine(
  rows: readonly { number: number; time: number; weight: number }[],
  step: number,
  start: number,
) {
  const total = rows.reduce((sum, { weight }) => sum + weight, 0);
  if (total === 0) return { step, start };
  const number = rows.reduce((sum, row) => sum + row.weight * row.number, 0) / total;
  const time = rows.reduce((sum, row) => sum + row.weight * row.time, 0) / total;
  const along = rows.reduce((sum, row) => sum + row.weight * (row.number - number) ** 2, 0);
  const across = rows.reduce((sum, row) => sum + row.weight * (row.number - number) * (row.time - time), 0);
  const slope = along < 1e-9 ? step : across / along;
  return { step: slope, start: time - slope * number };
}

/** Which of the four sixteenths is the beat: the one with the most weight, bass and first onset counting more. */
function beatPlace(
  onsets: readonly number[],
  weights: readonly number[],
  bass: readonly number[],
  step: number,
  start: number,
): number {
  const heavy = new Float64Array(4);
  const [total, low] = [weights, bass].map((all) => all.reduce((sum, weight) => sum + weight, 0) || 1) as [
    number,
    number,
  ];
  for (const [index, time] of onsets.entries()) {
    const place = (((Math.round((time - start) / step) % 4) + 4) % 4) as number;
    heavy[place]! += (weights[index] ?? 0) / total + (BASS_COUNTS * (bass[index] ?? 0)) / low;
    if (index === 0) heavy[place]! += FIRST_COUNTS;
  }
  return heavy.indexOf(Math.max(...heavy));
}

/** The beat at the first onset, or the first after it. */
function firstBeatOf(onsets: readonly number[], step: number, beat: number): number {
  const [first = 0] = onsets;
  const quarter = 4 * step;
  // A quarter of a sixteenth early is still that beat.
  const number = Math.ceil((first - step / 2 - beat) / quarter);
  return beat + number * quarter;
}
