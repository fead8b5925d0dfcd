/**
 * From exact positions to seconds. A position belongs to the section in whose time it lies; so a pickup sounds in
 * the tempo and swing of the section before it. The lead-in is straight, at the first section's starting tempo.
 */
import type { Section } from "../../schemas/routine.ts";
import { parseFraction, unitsOf } from "./fraction.ts";
import type { Seconds, Units } from "../../schemas/units.ts";
import { bend } from "./swing.ts";
import { secondsInto, startingTempo, tempoAt } from "./tempo.ts";
import { Memory } from "../../schemas/memory.ts";

/** Which swing bends a position: the beat's, the hands', or none. */
export type Swung = "straight" | "beat" | "hands";

export interface Span {
  readonly start: Units;
  readonly end: Units;
  readonly startSeconds: Seconds;
}

/** Swing of a section in units; step 0 where there is none. */
export interface SwingOf {
  readonly step: Units;
  readonly beat: number;
  readonly hands: number;
}

const STRAIGHT: SwingOf = { step: 0 as Units, beat: 50, hands: 50 };

const swings = new Memory<Section, SwingOf>();

export function swingOf(section: Section): SwingOf {
  if (section.swing === undefined) return STRAIGHT;
  let known = swings.get(section);
  if (known === undefined) {
    const step = unitsOf(parseFraction(section.swing.of));
    if (step === null) throw new Error(`swing of ${section.swing.of} was not checked`);
    known = { step, beat: section.swing.beat ?? 50, hands: section.swing.hands ?? 50 };
    swings.set(section, known);
  }
  return known;
}

/** `position` is units from the section's start and may be its end; the result too, possibly fractional. */
export function bentInSection(swing: SwingOf, length: Units, position: number, swung: Swung): number {
  if (swung === "straight" || swing.step === 0) return position;
  return bend(position, swing.step, swung === "beat" ? swing.beat : swing.hands, length);
}

/** Index of the section in whose time a position lies: 0 for the lead-in, the last for the end and beyond. */
export function sectionAt(spans: readonly Pick<Span, "start">[], position: number): number {
  let low = 0;
  let high = spans.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((spans[middle] as Span).start <= position) low = middle;
    else high = middle - 1;
  }
  return low;
}

export interface Timeline {
  /** As the function of that name. */
  sectionAt(position: number): number;
  /** Seconds from the start of the routine to an absolute position (units, 0 = start, lead-in included). */
  secondsAt(position: number, swung: Swung): number;
  /** Seconds between two absolute positions; the same to the last bit wherever in the routine their sections stand. */
  between(from: number, to: number, swung: Swung): number;
  /** The absolute position where `position` is heard, in units that may be fractional. */
  bent(position: number, swung: Swung): number;
  /** Quarters a minute. */
  tempoAt(position: number): number;
  /** The same, of a position that lies in section `index`, its end included. */
  tempoIn(index: number, position: number): number;
  /** The absolute, straight position that is reached after so many seconds (the inverse of secondsAt straight). */
  positionAt(seconds: number): number;
}

/**
 * @param sections the routine's, in order; @param spans where each stands, in the same order (a Performance's
 * `sections` will do).
 */
export function timelineOf(sections: readonly Section[], spans: readonly Span[]): Timeline {
  const section = (index: number): Section => sections[index] as Section;
  const span = (index: number): Span => spans[index] as Span;
  const first = span(0).start;

  function bentIn(index: number, position: number, swung: Swung): number {
    const { start, end } = span(index);
    if (position < start) return position;
    return start + bentInSection(swingOf(section(index)), (end - start) as Units, position - start, swung);
  }

  function secondsAt(position: number, swung: Swung): number {
    const index = sectionAt(spans, position);
    const { tempo } = section(index);
    const { start, end, startSeconds } = span(index);
    if (position < first) return secondsInto(startingTempo(tempo), first, position);
    return startSeconds + secondsInto(tempo, (end - start) as Units, bentIn(index, position, swung) - start);
  }

  /** Seconds from the start of section `index`; negative in the lead-in. */
  function secondsWithin(index: number, position: number, swung: Swung): number {
    const { start, end } = span(index);
    const { tempo } = section(index);
    const length = (end - start) as Units;
    const inside = position - start;
    if (inside < 0) return secondsInto(startingTempo(tempo), length, inside);
    return secondsInto(tempo, length, bentInSection(swingOf(section(index)), length, inside, swung));
  }

  function between(from: number, to: number, swung: Swung): number {
    const a = sectionAt(spans, from);
    const b = sectionAt(spans, to);
    // The lead-in is even: nothing but the distance counts, and what stands at half of it is at half to the last bit.
    if (from < first && to < first) return secondsInto(startingTempo(section(0).tempo), first, to - from);
    const before = secondsWithin(a, from, swung);
    if (a === b) return secondsWithin(b, to, swung) - before;
    let seconds = -before;
    for (let index = a; index < b; index++) seconds += secondsWithin(index, span(index).end, "straight");
    return seconds + secondsWithin(b, to, swung);
  }

  function tempoIn(index: number, position: number): number {
    const { start, end } = span(index);
    const { tempo } = section(index);
    if (position < start) return startingTempo(tempo);
    return tempoAt(tempo, (end - start) as Units, Math.min(position, end) - start);
  }

  function positionAt(time: number): number {
    let low = 0;
    let high = span(sections.length - 1).end as number;
    // Doubles halve to nothing in at most 64 turns; monotone, so a search is enough.
    for (let turn = 0; turn < 64 && low < high; turn++) {
      const middle = (low + high) / 2;
      if (secondsAt(middle, "straight") < time) low = middle;
      else high = middle;
    }
    return high;
  }

  return {
    sectionAt: (position) => sectionAt(spans, position),
    secondsAt,
    between,
    bent: (position, swung) => bentIn(sectionAt(spans, position), position, swung),
    tempoAt: (position) => tempoIn(sectionAt(spans, position), position),
    tempoIn,
    positionAt,
  };
}
