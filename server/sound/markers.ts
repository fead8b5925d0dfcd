/** Marks in a sound file: each section's start with its tempo and metre, and each bar. */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import type { Timeline } from "../time/timeline.ts";
import { RATE } from "./rate.ts";
import type { Marker } from "./wav.ts";
import { called } from "../routine/called.ts";

const tempoText = ({ tempo }: Section): string =>
  typeof tempo === "number" ? `${tempo}` : `${tempo.from} to ${tempo.to}`;

/** "Open water, 93 to 97 quarters a minute, 4/4"; a section a line. */
export const tempos = (routine: Routine, id?: string): string =>
  routine.sections
    .filter((section) => id === undefined || section.id === id)
    .map((section) => `${called(section)}, ${tempoText(section)} quarters a minute, ${section.meter}`)
    .join("\n");

/** All that lie in the sections asked for (one, or all), counted from frame `from`. */
export function markersOf(
  routine: Routine,
  performance: Performance,
  timeline: Timeline,
  id: string | undefined,
  from: number,
): Marker[] {
  return routine.sections.flatMap((section, index) => {
    if (id !== undefined && section.id !== id) return [];
    const { start, end, performance: compiled } = performance.sections[index]!;
    const markers: Marker[] = [];
    for (let at = start as number, bar = 1; at < end; at += compiled.bar, bar++) {
      markers.push({
        frame: Math.round(timeline.secondsAt(at, "straight") * RATE) - from,
        label: bar === 1 ? tempos(routine, section.id) : `${called(section)}, bar ${bar}`,
      });
    }
    return markers;
  });
}
