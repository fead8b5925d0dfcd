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
  const phrases = all.flatMap(({ made }) => (made === null ? [] : [made.events]));
  const [only] = phrases;
  const collect = <Key extends Events>(key: Key): PlacementEvents[Key] =>
    phrases.flatMap((events) => events[key] as never[]).sort(order) as PlacementEvents[Key];
  // Of one phrase alone all is in order already: a copy of millions would be felt.
  const lists =
    phrases.length === 1 && only !== undefined
      ? only
      : { strokes: collect("strokes"), openings: collect("openings"), sounds: collect("sounds") };
  return {
    id: section.id,
    length: section.length,
    bar: section.bar,
    strokes: lists.strokes,
    openings: lists.openings,
    sounds: lists.sounds,
    beat: section.beat,
    beatLength: section.beatLength,
    beatPhase: section.beatPhase,
    placed: all.map(({ placed }) => placed).sort((a, b) => a.placement - b.placement),
  };
}
