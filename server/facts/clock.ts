/**
 * Seconds between two places of a routine under the hands: bent by the hands' swing, then turned into time by the
 * tempo. Counted from one place to the other alone, so that the same music gives the same number wherever in the
 * routine it stands.
 */
import type { Performance, TimedSection } from "../../schemas/performance.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { secondsInto, startingTempo, tempoAt } from "../time/tempo.ts";
import { bentInSection, sectionAt, type SwingOf, swingOf } from "../time/timeline.ts";

export interface Clock {
  /** Index of the section in whose time a position lies (units from the routine's start); 0 for the lead-in. */
  sectionAt(position: number): number;
  /** Units from the start of section `index`; negative in the lead-in. */
  into(index: number, position: number): number;
  /** From an earlier position to a later one, or 0. */
  secondsBetween(from: number, to: number): number;
  /** Quarters a minute at a position that lies in section `index`, its end included. */
  tempoIn(index: number, position: number): number;
}

const swings = new WeakMap<Section, SwingOf>();

function swing(section: Section): SwingOf {
  let known = swings.get(section);
  if (known === undefined) {
    known = swingOf(section);
    swings.set(section, known);
  }
  return known;
}

export function clockOf({ sections }: Routine, performance: Performance): Clock {
  const spans = performance.sections;
  const span = (index: number): TimedSection => spans[index] as TimedSection;

  const into = (index: number, position: number): number => position - span(index).start;

  /** Seconds from the section's start; the lead-in is straight, at the first section's starting tempo. */
  function secondsIn(index: number, inside: number): number {
    const section = sections[index] as Section;
    const { length } = span(index).performance;
    if (inside < 0) return secondsInto(startingTempo(section.tempo), length, inside);
    return secondsInto(section.tempo, length, bentInSection(swing(section), length, inside, "hands"));
  }

  function secondsBetween(from: number, to: number): number {
    if (to <= from) return 0;
    const first = sectionAt(spans, from);
    const last = sectionAt(spans, to);
    if (first === last) return secondsIn(last, into(last, to)) - secondsIn(first, into(first, from));
    let total = secondsIn(first, span(first).performance.length) - secondsIn(first, into(first, from));
    for (let index = first + 1; index < last; index++) {
      total += secondsIn(index, span(index).performance.length);
    }
    return total + secondsIn(last, into(last, to));
  }

  return {
    sectionAt: (position) => sectionAt(spans, position),
    into,
    secondsBetween,
    tempoIn(index, position) {
      const { tempo } = sections[index] as Section;
      const { length } = span(index).performance;
      const inside = Math.min(into(index, position), length) as Units;
      return inside < 0 ? startingTempo(tempo) : tempoAt(tempo, length, inside);
    },
  };
}
