/** What is remembered of a section from one compile to the next, what it depends on, and what is made of it. */
import type { BeatEvent, SectionPerformance, TimedSection } from "../../schemas/performance.ts";
import type { Beat, Rig, Section } from "../../schemas/routine.ts";
import { sameItems } from "../../schemas/sameItems.ts";
import type { Units } from "../../schemas/units.ts";
import { assemble } from "./assemble.ts";
import { beatLength, compileBeat } from "./beat.ts";
import type { Carry, Compiled, Home } from "./home.ts";
import { endOf, homeList, homeOf, type Laid, layoutAt, NO_GUESTS, startOf } from "./laid.ts";
import type { SectionLayout } from "./layout.ts";

/** The beat of a section. */
interface Drums {
  readonly beat: Beat | undefined;
  /** Units into the beat at the section's start. */
  readonly phase: number;
  readonly length: Units;
  readonly bar: Units;
  readonly rests: Section["beatRests"];
  readonly hits: readonly BeatEvent[];
}

export interface Remembered extends Home {
  /** What the result depends on: these four, and what concerns visitors and placements left out. */
  readonly layout: SectionLayout;
  readonly rig: Rig | undefined;
  readonly drums: Drums;
  readonly carryIn: readonly Carry[];
  readonly others: readonly unknown[];
  /** Units into the beat at the section's end. */
  readonly phaseAfter: number;
  readonly seconds: number;
  /** The whole section, with the pickups that other sections compiled for it. */
  assembled: Assembled | null;
  /** Where it stood the last time. */
  timed: TimedSection | null;
}

interface Assembled {
  readonly pickups: readonly Compiled[];
  readonly performance: SectionPerformance;
}

const NO_PICKUPS: readonly Compiled[] = [];
const NO_OTHERS: readonly unknown[] = [];

/** What a section's result depends on beside itself: visitors, and placements that are left out. */
export function othersOf(laid: Laid, index: number): readonly unknown[] {
  const visiting = laid.guests[index] ?? NO_GUESTS;
  const { without } = laid;
  if (visiting.length === 0 && without.size === 0) return NO_OTHERS;
  const others: unknown[] = [];
  if (without.size > 0)
    for (const { placement } of layoutAt(laid, index).spots) others.push(without.has(placement));
  for (const homed of visiting) {
    const { spot, owner } = homed;
    others.push(spot.placement, layoutAt(laid, owner), startOf(laid, owner) - startOf(laid, index));
    others.push(spot.duration ?? endOf(laid, homed, index, homeList(laid, index)) - startOf(laid, index));
    for (let between = index + 1; between <= owner; between++) others.push(laid.routine.sections[between]);
  }
  return others;
}

/** `last` itself, where it is the same. */
export function drumsOf(now: Omit<Drums, "hits">, last: Drums | undefined): Drums {
  const { beat, phase, length, bar, rests } = now;
  const isSame =
    last !== undefined && (Object.keys(now) as (keyof typeof now)[]).every((key) => now[key] === last[key]);
  if (isSame) return last;
  return { ...now, hits: beat === undefined ? [] : compileBeat(beat, phase, length, bar, rests) };
}

export function pickupsOf(laid: Laid, index: number, homes: readonly Remembered[]): readonly Compiled[] {
  const { pickups } = layoutAt(laid, index);
  if (pickups.length === 0) return NO_PICKUPS;
  return pickups.flatMap(({ placement, start }) => {
    const compiled = homes[homeOf(laid.starts, index, start)]?.guests.get(placement);
    return compiled === undefined ? [] : [compiled];
  });
}

export function performanceOf(
  id: string,
  home: Remembered,
  pickups: readonly Compiled[],
): SectionPerformance {
  const known = home.assembled;
  if (known !== null && sameItems(known.pickups, pickups)) return known.performance;
  const { beat, phase, length, bar, hits } = home.drums;
  const performance = assemble([...pickups, ...home.own], {
    id,
    length,
    bar,
    beat: hits,
    beatLength: beat === undefined ? (0 as Units) : beatLength(beat),
    beatPhase: phase as Units,
  });
  home.assembled = { pickups, performance };
  return performance;
}
