/**
 * A released record turns at the platter's speed whatever the playing speed, so at half the tempo it turns twice as
 * far as the performance says. What comes after it in the same placement, and in one that carries on, is shifted.
 */
import type { Performance, PlacedEvent } from "../../schemas/performance.ts";
import { isWords, type Routine } from "../../schemas/routine.ts";

export interface Shifts {
  /** Degrees to add to where a stroke starts, by index of section and of stroke. */
  of(section: number, stroke: number): number;
}

const NONE: Shifts = { of: () => 0 };

interface Spot {
  readonly section: number;
  readonly placed: PlacedEvent;
  readonly start: number;
  readonly end: number;
}

export function releasedShifts(routine: Routine, performance: Performance, speed: number): Shifts {
  const released = performance.sections.some((section) =>
    section.performance.strokes.some(({ shape, direction }) => shape === "released" && direction !== "hold"),
  );
  if (speed === 1 || !released) return NONE;
  const spots = performance.sections
    .flatMap(({ start, performance: { placed } }, section) =>
      placed.map((one): Spot => ({ section, placed: one, start: start + one.start, end: start + one.end })),
    )
    .sort((a, b) => a.start - b.start);
  const entering = performance.sections.map(() => new Map<number, number>());
  const shifts = performance.sections.map(({ performance: { strokes } }) => new Float64Array(strokes.length));
  const extra = (section: number, placement: number): number => {
    const { strokes } = performance.sections[section]!.performance;
    let shift = entering[section]!.get(placement) ?? 0;
    for (const [index, stroke] of strokes.entries()) {
      if (stroke.placement !== placement) continue;
      shifts[section]![index] = shift;
      if (stroke.shape === "released") shift += (stroke.to - stroke.from) * (1 / speed - 1);
    }
    return shift;
  };
  const left = new Map<number, { end: number; shift: number }>();
  for (const { section, placed, start, end } of spots) {
    const placement = routine.sections[section]!.placements[placed.placement]!;
    const before = left.get(placed.player);
    if (!isWords(placement) && placement.carriesOn === true && before?.end === start) {
      entering[section]!.set(placed.placement, before.shift);
    }
    left.set(placed.player, { end, shift: isWords(placement) ? 0 : extra(section, placed.placement) });
  }
  return { of: (section, stroke) => shifts[section]![stroke]! };
}
