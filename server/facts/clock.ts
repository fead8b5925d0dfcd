/** The time of a routine under the hands, whose swing bends it. */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { type Span, type Timeline, timelineOf } from "../time/timeline.ts";

export interface Clock extends Pick<Timeline, "sectionAt" | "tempoIn"> {
  /** Units from the start of section `index`; negative in the lead-in. */
  into(index: number, position: number): number;
  /** From an earlier position to a later one, or 0; the same wherever in the routine the music stands. */
  secondsBetween(from: number, to: number): number;
}

export function clockOf({ sections }: Routine, performance: Performance): Clock {
  const spans: readonly Span[] = performance.sections;
  const { sectionAt, tempoIn, between } = timelineOf(sections, spans);
  return {
    sectionAt,
    tempoIn,
    into: (index, position) => position - (spans[index] as Span).start,
    secondsBetween: (from, to) => (to <= from ? 0 : between(from, to, "hands")),
  };
}
