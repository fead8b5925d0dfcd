/**
 * A routine laid out: where every placement starts, and in whose time.
 *
 * Every placement has a HOME: the section in whose time it starts (the first section for the lead-in). That is its
 * own section, but for a pickup, which is a GUEST there. Positions count from the start of the first section.
 */
import type { Pattern, Placement, Routine, Section } from "../../schemas/routine.ts";
import { meterOf } from "../time/meter.ts";
import type { SectionLayout, Spot } from "./layout.ts";
import { patternsOf } from "./lookups.ts";

/** A spot, and the section that owns it. */
export interface Homed {
  readonly spot: Spot;
  readonly owner: number;
}

interface Layout {
  readonly layout: SectionLayout;
}

export interface Laid {
  readonly routine: Routine;
  readonly patterns: ReadonlyMap<string, Pattern>;
  readonly layouts: readonly Layout[];
  /** Where each section starts. */
  readonly starts: readonly number[];
  /** Units of the whole routine. */
  readonly total: number;
  /** Of each section the pickups that start in its time, its own (of the first section: the lead-in) included. */
  readonly guests: readonly (readonly Homed[] | undefined)[];
  /** Placements to leave out. */
  readonly without: ReadonlySet<Placement>;
}

export const NO_GUESTS: readonly Homed[] = [];

/** @param layouts of the routine's sections */
export function layRoutine(
  routine: Routine,
  layouts: readonly Layout[],
  without: ReadonlySet<Placement>,
): Laid {
  const starts: number[] = [];
  let total = 0;
  for (const { layout } of layouts) {
    starts.push(total);
    total += layout.length;
  }
  const guests = guestsOf(layouts, starts, without);
  return { routine, patterns: patternsOf(routine), layouts, starts, total, guests, without };
}

/** The section in whose time a spot `start` units from the start of section `owner` begins. */
export function homeOf(starts: readonly number[], owner: number, start: number): number {
  const at = (starts[owner] as number) + start;
  let home = owner;
  while (home > 0 && (starts[home] as number) > at) home--;
  return home;
}

function guestsOf(
  layouts: readonly Layout[],
  starts: readonly number[],
  without: ReadonlySet<Placement>,
): (Homed[] | undefined)[] {
  const guests: (Homed[] | undefined)[] = [];
  for (let owner = 0; owner < layouts.length; owner++) {
    const { pickups } = (layouts[owner] as Layout).layout;
    for (let index = 0; index < pickups.length; index++) {
      const spot = pickups[index] as Spot;
      if (without.has(spot.placement)) continue;
      const home = homeOf(starts, owner, spot.start);
      const list = guests[home] ?? [];
      guests[home] = list;
      list.push({ spot, owner });
    }
  }
  return guests;
}

export const layoutAt = ({ layouts }: Laid, index: number): SectionLayout =>
  (layouts[index] as Layout).layout;
export const sectionOf = ({ routine }: Laid, index: number): Section => routine.sections[index] as Section;
export const startOf = ({ starts }: Laid, index: number): number => starts[index] as number;

/** All that has its home in a section, in order of start. */
export function homeList(laid: Laid, index: number): readonly Homed[] {
  const { without } = laid;
  const list: Homed[] = [];
  for (const spot of layoutAt(laid, index).spots) {
    if (spot.start >= 0 && !without.has(spot.placement)) list.push({ spot, owner: index });
  }
  const visiting = laid.guests[index];
  if (visiting === undefined) return list;
  const at = ({ spot, owner }: Homed): number => startOf(laid, owner) + spot.start;
  return [...list, ...visiting].sort(
    (a, b) => at(a) - at(b) || a.owner - b.owner || a.spot.index - b.spot.index,
  );
}

/** Where a spot ends; without a duration at the next start of its player, or with its section. @param list its home's */
export function endOf(laid: Laid, { spot, owner }: Homed, home: number, list: readonly Homed[]): number {
  const start = startOf(laid, owner) + spot.start;
  if (spot.duration !== null) return start + spot.duration;
  const next = (candidates: readonly Homed[]): number | undefined => {
    for (const other of candidates) {
      const at = startOf(laid, other.owner) + other.spot.start;
      if (other.spot.player === spot.player && at > start) return at;
    }
    return undefined;
  };
  const sectionEnd = startOf(laid, owner) + layoutAt(laid, owner).length;
  let found = next(list);
  for (let index = home + 1; found === undefined && index <= owner; index++)
    found = next(homeList(laid, index));
  return Math.min(found ?? sectionEnd, sectionEnd);
}

/** The fewest whole bars that hold the first section's pickup. */
export function leadInBars(laid: Laid): number {
  const { bar } = meterOf(sectionOf(laid, 0));
  const earliest = layoutAt(laid, 0).pickups.find(({ placement }) => !laid.without.has(placement));
  return earliest === undefined ? 0 : Math.ceil(-earliest.start / bar);
}
