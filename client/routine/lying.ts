/** Where every placement lies in the routine as a whole: what the ways of choosing, moving and filling look at. */
import type { Pattern, Placement } from "../../schemas/routine.ts";
import { barUnits, unitsOfText } from "../parts/music.ts";
import type { Opened } from "../state/opened.ts";
import { saidLength } from "./moving.ts";

export interface Address {
  /** Id of the section, and index in its list. */
  readonly section: string;
  readonly index: number;
}

export interface Lying extends Address {
  readonly placement: Placement;
  /** Null for words, and where the pattern is not there. */
  readonly pattern: Pattern | null;
  readonly player: number;
  /** Units in a bar of its section. */
  readonly bar: number;
  /** Units from the routine's start, the lead-in included; the end is not included. */
  readonly from: number;
  readonly to: number;
  /** An error keeps it out of what is heard; it can still be seen there, and mended. */
  readonly leftOut?: true;
}

export const keyOfAddress = ({ section, index }: Address): string => `${section}/${index}`;

const known = new WeakMap<Opened, ReadonlyMap<string, Lying>>();

/** By address, ordered by start, then by player. */
export function lyingIn(state: Opened): ReadonlyMap<string, Lying> {
  const before = known.get(state);
  if (before !== undefined) return before;
  const patterns = new Map(state.routine.patterns.map((pattern) => [pattern.id, pattern]));
  const all = state.routine.sections.flatMap((section, index): Lying[] => {
    const timed = state.performance.sections[index];
    if (timed === undefined) return [];
    const bar = barUnits(section.meter);
    return timed.performance.placed.flatMap(({ placement: at, player, start, end }) => {
      const placement = section.placements[at];
      if (placement === undefined) return [];
      const pattern = "words" in placement ? null : (patterns.get(placement.pattern) ?? null);
      const from = timed.start + start;
      return [
        { section: section.id, index: at, placement, pattern, player, bar, from, to: timed.start + end },
      ];
    });
  });
  return layOut(state, [...all, ...leftOutIn(state, patterns)]);
}

/** From now on these lie in that state. */
export function layOut(state: Opened, all: readonly Lying[]): ReadonlyMap<string, Lying> {
  const ordered = [...all].sort((a, b) => a.from - b.from || a.player - b.player);
  const map = new Map(ordered.map((one) => [keyOfAddress(one), one]));
  known.set(state, map);
  return map;
}

/** What an error keeps out of the performance, where it would lie by what it says of itself. */
function leftOutIn(state: Opened, patterns: ReadonlyMap<string, Pattern>): Lying[] {
  return [...state.leftOut].flatMap((pointer): Lying[] => {
    const [, owner, at] = /^\/sections\/(\d+)\/placements\/(\d+)$/.exec(pointer)?.map(Number) ?? [];
    const section = state.routine.sections[owner ?? -1];
    const timed = state.performance.sections[owner ?? -1];
    const placement = section?.placements[at ?? -1];
    if (section === undefined || timed === undefined || placement === undefined) return [];
    const bar = barUnits(section.meter);
    const pattern = "words" in placement ? null : (patterns.get(placement.pattern) ?? null);
    const from = timed.start + (placement.bar - 1) * bar + unitsOfText(placement.at ?? "0");
    const said = placement.lasts === undefined ? 0 : saidLength(placement.lasts, bar, pattern);
    const to = said > 0 ? from + said : Math.max(from + bar, timed.end);
    const { player = 1 } = placement;
    return [
      { section: section.id, index: at ?? 0, placement, pattern, player, bar, from, to, leftOut: true },
    ];
  });
}

/** The section in whose time a place of the routine lies; what is before the first or after the last has none. */
export function sectionAt(state: Opened, at: number): number | null {
  const { sections } = state.performance;
  let low = 0;
  let high = sections.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const one = sections[middle];
    if (one === undefined) return null;
    if (at < one.start) high = middle - 1;
    else if (at >= one.end) low = middle + 1;
    else return middle;
  }
  return null;
}

/** The stretch around a place in which a player has nothing; null where something lies there. */
export function gapAround(state: Opened, at: number, player: number): { from: number; to: number } | null {
  const home = sectionAt(state, at);
  const timed = home === null ? undefined : state.performance.sections[home];
  if (timed === undefined) return null;
  let from: number = timed.start;
  let to: number = timed.end;
  for (const other of lyingIn(state).values()) {
    if (other.player !== player) continue;
    if (other.from <= at && other.to > at) return null;
    if (other.to <= at) from = Math.max(from, other.to);
    else if (other.from > at) to = Math.min(to, other.from);
  }
  return { from, to };
}
