/** The laws that every clip keeps, whatever is in it, as a reader tells it that is not ours. */
import { expect } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { meterOf } from "../../server/time/meter.ts";
import type { ReadFile } from "./read.ts";

const RANK: Record<string, number> = { note_off: 1, control_change: 2, pitchwheel: 4, note_on: 5 };

/**
 * Each track ends as long as its section is, nothing stands after that; at one tick notes end before anything is set, and
 * begin after that; no note begins while it sounds, at velocity 0, or where it just ended; none is left sounding.
 *
 * @param length ticks; null where it is not known
 */
export function expectLaws(file: ReadFile, ppq: number, length: number | null): void {
  expect(file.ppq).toBe(ppq);
  for (const track of file.tracks) {
    const end = track.at(-1);
    expect(end?.kind).toBe("end_of_track");
    if (length !== null) expect(end?.tick).toBe(length);
    const sounding = new Map<string, number>();
    const released = new Map<string, number>();
    let before = { tick: 0, rank: 0 };
    for (const { tick, kind, values } of track.slice(0, -1)) {
      const rank = RANK[kind] ?? 0;
      expect(tick > before.tick || rank >= before.rank).toBe(true);
      before = { tick, rank };
      const slot = `${values[0]}/${values[1]}`;
      if (kind === "note_on") {
        expect(sounding.has(slot)).toBe(false);
        expect(tick).toBeGreaterThan(released.get(slot) ?? -1);
        expect(values[2]).toBeGreaterThan(0);
        sounding.set(slot, tick);
      }
      if (kind === "note_off") {
        expect(tick).toBeGreaterThan(sounding.get(slot) ?? Number.POSITIVE_INFINITY);
        expect(tick).toBeLessThan(end?.tick ?? 0);
        sounding.delete(slot);
        released.set(slot, tick);
      }
    }
    expect(sounding.size).toBe(0);
  }
}

/** How long a clip is, by its section alone. @returns null for the lead-in and the whole */
export function ticksOf({ sections }: Routine, index: number | null, ppq: number): number | null {
  const section = index === null ? undefined : sections[index];
  return section === undefined ? null : (section.bars * meterOf(section).bar * ppq) / UNITS_PER_QUARTER;
}
