/**
 * The metre of a phrase: its onsets on a grid of equal pulses, how evenly they lie, and how they pull against the
 * bar. A phrase that does not fit the bar stands differently in it at each repeat; the figures are therefore worked
 * out onset by onset over the whole come-round and then gathered repeat by repeat.
 */
import type { BarFigures, MetreFacts, RhythmFigures } from "../../schemas/metre.ts";
import type { Pattern } from "../../schemas/routine.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { combinedUnits } from "../routine/layout.ts";
import { type Fraction, fraction, fractionText } from "../../schemas/fraction.ts";
import { gcdOf } from "../time/fraction.ts";
import type { Meter } from "../time/meter.ts";
import {
  distinctIntervals,
  evenness,
  hasOddity,
  intervals,
  isDeep,
  isMaximallyEven,
  nPVI,
} from "./metreEvenness.ts";
import {
  keith,
  keithStarts,
  lhl,
  mean,
  metricalComplexity,
  metricalWeights,
  offBeatness,
  wnbd,
} from "./metreSyncopation.ts";
import { listSounds } from "./phrase.ts";
import type { Rhythm } from "./rhythm.ts";

/** A bar of more pulses has no grid that measures made for bars of 12 or 16 say anything about. */
export const MOST_BAR_PULSES = 192;
/** Longest come-round that is gone through, in pulses, and longest list of repeats. */
const MOST_PULSES = 1 << 16;
const MOST_REPEATS = 1000;

/** Prime factors, the smallest first; none of 1. */
function factors(number: number): number[] {
  const result: number[] = [];
  let rest = number;
  for (let prime = 2; rest > 1; prime++) {
    while (rest % prime === 0) {
      result.push(prime);
      rest /= prime;
    }
  }
  return result;
}

/** A beat is three of the lower number in a compound metre (6/8, 9/8, 12/8 …), one otherwise (*convention*). */
const isCompound = ({ upper, lower }: Meter): boolean => upper > 3 && upper % 3 === 0 && lower >= 8;

/** How a bar falls apart from the top: beats, then the parts of a beat, down to `barPulses`, each by its primes. */
export function subdivisionsOf(meter: Meter, barPulses: number): number[] {
  const beats = isCompound(meter) ? meter.upper / 3 : meter.upper;
  const inBeat = factors(barPulses / beats);
  // The three of a compound beat come before what they are split into.
  if (isCompound(meter)) inBeat.sort((a, b) => (a === 3 ? -1 : b === 3 ? 1 : 0));
  return [...factors(beats), ...inBeat];
}

function rhythmFigures(rhythm: Rhythm, pulsesPerQuarter: number): RhythmFigures {
  const { onsets, pulses } = rhythm;
  return {
    onsets: onsets.length,
    perQuarter: (onsets.length * pulsesPerQuarter) / pulses,
    filled: onsets.length / pulses,
    evenness: evenness(rhythm),
    npvi: nPVI(intervals(rhythm)),
    maximallyEven: isMaximallyEven(rhythm),
    oddity: hasOddity(rhythm),
    deep: isDeep(rhythm),
    distinctIntervals: distinctIntervals(rhythm),
  };
}

interface OnsetFigures {
  readonly lhl: readonly (number | null)[];
  readonly keith: readonly number[];
  readonly keithStarts: readonly number[];
  readonly offBeats: readonly number[];
  readonly wnbd: readonly Fraction[];
}

/** Figures of the onsets from `first` to `end` (not included). */
function gathered(figures: OnsetFigures, first: number, end: number): BarFigures {
  const sum = (values: readonly (number | null)[]): number => {
    let total = 0;
    for (let index = first; index < end; index++) total += Math.max(0, values[index] ?? 0);
    return total;
  };
  const distance = mean(figures.wnbd, first, end);
  return {
    lhl: sum(figures.lhl),
    keith: sum(figures.keith),
    keithStarts: sum(figures.keithStarts),
    offBeats: sum(figures.offBeats),
    wnbd: fractionText(distance),
    wnbdValue: Number(distance.n) / Number(distance.d),
  };
}

const pullsMore = (a: BarFigures, b: BarFigures): boolean =>
  a.lhl !== b.lhl ? a.lhl > b.lhl : a.keith !== b.keith ? a.keith > b.keith : a.wnbdValue > b.wnbdValue;

/**
 * The metre of a pattern that repeats over bars of `meter`, its first repeat starting `start` units into a bar (0 to
 * below a bar). Null where it sounds nothing, or lies on no grid of at most 192 pulses a bar, or comes round later
 * than can be gone through.
 */
export function metreOf(pattern: Pattern, meter: Meter, start = 0): MetreFacts | null {
  const combined = Number(combinedUnits(pattern));
  if (!Number.isSafeInteger(combined)) return null;
  const beat = isCompound(meter) ? meter.beat * 3 : meter.beat;
  // The pulse is no coarser than this, whatever the sounds: a come-round that is too long already is not listed.
  const coarsest = [combined, meter.beat, start].reduce((a, b) => gcdOf(a, b));
  if ((combined / gcdOf(combined, meter.bar)) * (meter.bar / coarsest) > MOST_PULSES) return null;
  const sounds = listSounds(pattern, MOST_PULSES);
  if (sounds === null || sounds.length === 0) return null;
  const starts = [...new Set(sounds.map((sound) => sound.start))].sort((a, b) => a - b);
  const pulse = starts.reduce((a, b) => gcdOf(a, b), coarsest);
  const barPulses = meter.bar / pulse;
  const phrasePulses = combined / pulse;
  const repeats = barPulses / gcdOf(barPulses, phrasePulses);
  const pulses = repeats * phrasePulses;
  if (barPulses > MOST_BAR_PULSES || pulses > MOST_PULSES) return null;

  // Counted from the bar in which the first repeat starts; the last repeats run on past the come-round's end, which
  // is a whole number of bars later, and so stand in the bar as they should.
  const first = start / pulse;
  const onsets = Array.from({ length: repeats }, (_, repeat) =>
    starts.map((at) => first + repeat * phrasePulses + at / pulse),
  ).flat();
  const rhythm: Rhythm = { pulses, onsets };
  const weights = metricalWeights(subdivisionsOf(meter, barPulses));
  const figures: OnsetFigures = {
    lhl: lhl(rhythm, weights),
    keith: keith(rhythm, barPulses),
    keithStarts: keithStarts(rhythm, barPulses),
    offBeats: offBeatness(rhythm, barPulses),
    wnbd: wnbd(rhythm, beat / pulse),
  };
  const listed = Array.from({ length: Math.min(repeats, MOST_REPEATS) }, (_, repeat) => ({
    at: fractionText(fraction(((first + repeat * phrasePulses) % barPulses) * pulse, UNITS_PER_WHOLE)),
    ...gathered(figures, repeat * starts.length, (repeat + 1) * starts.length),
  }));
  const whole = gathered(figures, 0, onsets.length);
  const bars = pulses / barPulses;
  return {
    pulse: fractionText(fraction(pulse, UNITS_PER_WHOLE)),
    barPulses,
    rhythm: rhythmFigures(
      { pulses: phrasePulses, onsets: starts.map((at) => at / pulse) },
      UNITS_PER_WHOLE / 4 / pulse,
    ),
    whole: {
      ...whole,
      lhl: whole.lhl / bars,
      keith: whole.keith / bars,
      keithStarts: whole.keithStarts / bars,
      offBeats: whole.offBeats / bars,
      complexity: metricalComplexity(rhythm, weights) / bars,
    },
    repeats: listed,
    pullsMost: listed.reduce(
      (most, figure, index) => (pullsMore(figure, listed[most] as (typeof listed)[number]) ? index : most),
      0,
    ),
  };
}
