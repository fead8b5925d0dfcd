/**
 * Where everything lies: sections and placements on the routine's own line of exact time, and the seconds there.
 * Positions are whole units from the start of the routine (lead-in included); ends are not included.
 */
import type { Pattern, Placement, Routine, Sample, Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { inUnits, lcm, parseRational, rational, times, whole } from "./rational.ts";

export interface LaidSection {
  readonly section: Section;
  readonly start: bigint;
  readonly end: bigint;
  readonly bar: bigint;
  readonly startSeconds: number;
  readonly endSeconds: number;
}
export interface LaidPlacement {
  readonly placement: Placement;
  readonly section: number;
  /** In the section's list. */
  readonly index: number;
  readonly player: number;
  readonly start: bigint;
  readonly end: bigint;
}
export interface Layout {
  readonly sections: readonly LaidSection[];
  /** In the order of the file. */
  readonly placements: readonly LaidPlacement[];
}

export const DEFAULT_SAMPLE: Sample = { id: "vowel", builtIn: "vowel" };
export const samplesOf = (routine: Routine): readonly Sample[] => routine.rig?.samples ?? [DEFAULT_SAMPLE];

export const barOf = (meter: string): bigint => whole(inUnits(parseRational(meter)));
export const stepOf = (step: string): bigint => whole(inUnits(parseRational(step)));
/** A length in steps, as units. */
export const unitsOf = (length: number | string, step: string): bigint =>
  whole(inUnits(times(parseRational(length), parseRational(step))));

const sum = (numbers: readonly bigint[]) => numbers.reduce((a, b) => a + b, 0n);
export const recordLength = ({ record }: Pattern) =>
  sum(record.strokes.map((stroke) => unitsOf(stroke.length ?? 1, record.step)));
export const faderLength = ({ fader }: Pattern) =>
  sum(fader.cells.map((cell) => unitsOf(cell.length ?? 1, fader.step)));
export const combinedLength = (pattern: Pattern) => lcm(recordLength(pattern), faderLength(pattern));

export function patternOf(routine: Routine, placement: Placement): Pattern | null {
  if ("words" in placement) return null;
  const found = routine.patterns.find(({ id }) => id === placement.pattern);
  if (!found) throw new Error(`no pattern ${placement.pattern}`);
  return found;
}
export function sampleOf(routine: Routine, placement: Placement): Sample | null {
  if ("words" in placement) return null;
  const found = samplesOf(routine).find(({ id }, n) =>
    placement.sample === undefined ? n === 0 : id === placement.sample,
  );
  if (!found) throw new Error(`no sample ${placement.sample}`);
  return found;
}

/** Where a placement starts, in units from the start of its section: negative for a pickup. */
export const offsetOf = (placement: Placement, bar: bigint): bigint =>
  (BigInt(placement.bar) - 1n) * bar + stepOf(placement.at ?? "0");

function lengthOf(routine: Routine, placement: Placement, bar: bigint): bigint | null {
  const { lasts } = placement;
  if (lasts === undefined) return null;
  if ("bars" in lasts) return BigInt(lasts.bars) * bar;
  const pattern = patternOf(routine, placement);
  if (pattern === null) throw new Error("words last bars");
  if ("cycles" in lasts) return BigInt(lasts.cycles) * combinedLength(pattern);
  return BigInt(lasts.steps) * stepOf(pattern.record.step);
}

export function layOut(routine: Routine): Layout {
  const bars = routine.sections.map(({ meter }) => barOf(meter));
  const [first, firstBar] = [routine.sections[0]!, bars[0]!];
  let leadIn = 0n;
  while (first.placements.some((placement) => offsetOf(placement, firstBar) + leadIn < 0n))
    leadIn += firstBar;

  const sections: LaidSection[] = [];
  let start = leadIn;
  let startSeconds = (60 * quarters(leadIn)) / tempoOf(first).from;
  routine.sections.forEach((section, n) => {
    const bar = bars[n]!;
    const end = start + bar * BigInt(section.bars);
    const endSeconds = startSeconds + secondsInto(section, quarters(end - start), quarters(end - start));
    sections.push({ section, start, end, bar, startSeconds, endSeconds });
    start = end;
    startSeconds = endSeconds;
  });

  const begun = sections.flatMap((laid, section) =>
    laid.section.placements.map((placement, index) => ({
      placement,
      section,
      index,
      player: placement.player ?? 1,
      start: laid.start + offsetOf(placement, laid.bar),
    })),
  );
  const placements = begun.map((one) => {
    const laid = sections[one.section]!;
    const length = lengthOf(routine, one.placement, laid.bar);
    if (length !== null) return { ...one, end: one.start + length };
    let end = laid.end;
    for (const other of begun)
      if (other.player === one.player && other.start > one.start && other.start < end) end = other.start;
    return { ...one, end };
  });
  return { sections, placements };
}

const quarters = (units: bigint) => Number(units) / UNITS_PER_QUARTER;
const tempoOf = ({ tempo }: Section) => (typeof tempo === "number" ? { from: tempo, to: tempo } : tempo);

/** Seconds from the start of a section of B quarters to its quarter b; the tempo runs linearly in quarters. */
function secondsInto(section: Section, b: number, B: number): number {
  const { from, to } = tempoOf(section);
  if (from === to) return (60 * b) / from;
  return ((60 * B) / (to - from)) * Math.log1p(((to - from) * b) / (B * from));
}

/** Bends a position in a section (units from its start): the first of each whole pair takes the given part. */
function bend(position: bigint, { section, start, end }: LaidSection, swing: "beat" | "hands"): number {
  if (section.swing === undefined) return Number(position);
  const step = stepOf(section.swing.of);
  const pair = 2n * step;
  const pairStart = (position / pair) * pair;
  if (pairStart + pair > end - start) return Number(position);
  const part = (section.swing[swing] ?? 50) / 100;
  const inside = Number(position - pairStart) / Number(step);
  const bent = inside <= 1 ? inside * part : part + (inside - 1) * (1 - part);
  return Number(pairStart) + bent * Number(pair);
}

/** Seconds from the start of the routine to a position, bent by the swing of the beat or of the hands. */
export function secondsAt({ sections }: Layout, position: bigint, swing: "beat" | "hands"): number {
  const first = sections[0]!;
  if (position < first.start) return (60 * quarters(position)) / tempoOf(first.section).from;
  const laid = sections.findLast(({ start }) => start <= position)!;
  const bent = bend(position - laid.start, laid, swing) / UNITS_PER_QUARTER;
  return laid.startSeconds + secondsInto(laid.section, bent, quarters(laid.end - laid.start));
}

/** Degrees a second of the platter in a section: 33 1/3, 45 or 78 turns a minute, altered by the pitch slider. */
export function platterSpeed(routine: Routine, section: number): number {
  const turns = { 33: 100 / 3, 45: 45, 78: 78 }[routine.rig?.platter ?? 33];
  return turns * 6 * (1 + (routine.sections[section]!.pitch ?? 0) / 100);
}

/** Units in a beat. */
export const beatLength = (beat: { step: string; steps: number }): bigint =>
  whole(times(rational(stepOf(beat.step)), rational(beat.steps)));
