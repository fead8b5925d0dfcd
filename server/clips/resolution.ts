/** Whether every musical moment falls on a tick, and how many ticks it takes. Curves stand on ticks of their own. */
import { MOST_TICKS } from "../../schemas/mapping.ts";
import { lcm } from "../time/fraction.ts";
import type { Swung } from "../time/timeline.ts";
import type { Content } from "./content.ts";
import type { Clock } from "./ticks.ts";

/**
 * The lower numbers of all moments' positions in quarters.
 * @param origin units from the routine's start that the content's positions count from
 */
export function denominatorsOf(content: Content, clock: Clock, origin: number): Set<bigint> {
  const found = new Set<bigint>();
  const seen = { hands: new Set<number>(), beat: new Set<number>() };
  const look = (position: number, swung: Exclude<Swung, "straight">): void => {
    if (seen[swung].has(position)) return;
    seen[swung].add(position);
    found.add(clock.exact(origin + position, swung).d);
  };
  for (const { sounds, strokes, openings, recordGroups, faderGroups } of content.players.values()) {
    for (const list of [sounds, strokes, openings]) {
      for (const { start, end } of list) {
        look(start, "hands");
        look(end, "hands");
      }
    }
    for (const list of [recordGroups, faderGroups]) for (const at of list) look(at, "hands");
  }
  for (const { at } of content.beat) look(at, "beat");
  return found;
}

export const allOnTicks = (denominators: Iterable<bigint>, ppq: number): boolean => {
  const wide = BigInt(ppq);
  for (const one of denominators) if (wide % one !== 0n) return false;
  return true;
};

/** The smallest resolution at which all of these fall on a tick, or null where it does not fit in 15 bits. */
export function exactResolution(denominators: Iterable<bigint>): number | null {
  // A bar of thirty-seconds must be whole ticks too.
  let common = 8n;
  for (const one of denominators) {
    if (common % one !== 0n) common = lcm(common, one);
    if (common > BigInt(MOST_TICKS)) return null;
  }
  return Number(common);
}
