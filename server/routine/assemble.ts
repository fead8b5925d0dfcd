/** A section's performance, put together from its placements. */
import type { SectionPerformance } from "../../schemas/performance.ts";
import type { PlacementEvents } from "../hands/placement.ts";
import type { Compiled } from "./home.ts";

type Events = "strokes" | "openings" | "sounds";

const order = (
  a: { readonly start: number; readonly placement: number },
  b: { readonly start: number; readonly placement: number },
): number => a.start - b.start || a.placement - b.placement;

/** @param all its own placements, and its pickups, wherever they start */
export function assemble(
  all: readonly Compiled[],
  section: Omit<SectionPerformance, Events | "placed">,
): SectionPerformance {
  const collect = <Key extends Events>(key: Key): PlacementEvents[Key] =>
    all.flatMap(({ made }) => (made === null ? [] : (made.events[key] as never[]))) as PlacementEvents[Key];
  return {
    id: section.id,
    length: section.length,
    bar: section.bar,
    strokes: collect("strokes").sort(order),
    openings: collect("openings").sort(order),
    sounds: collect("sounds").sort(order),
    beat: section.beat,
    beatLength: section.beatLength,
    beatPhase: section.beatPhase,
    placed: all.map(({ placed }) => placed).sort((a, b) => a.placement - b.placement),
  };
}
