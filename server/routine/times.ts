/** When sections start and end, without working out what is in them. */
import type { TimedSection } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Seconds, Units } from "../../schemas/units.ts";
import { meterOf } from "../time/meter.ts";
import { secondsInto, startingTempo } from "../time/tempo.ts";

export type SectionTimes = Omit<TimedSection, "performance">;

/**
 * Of a checked routine, in order.
 * @param leadInBars whole bars of the first section's metre before it
 * @returns to the last bit what `compile` finds, since it adds up the same in the same order
 */
export function timesOf({ sections }: Routine, leadInBars: number): SectionTimes[] {
  const [first] = sections;
  if (first === undefined) return [];
  let start = leadInBars * meterOf(first).bar;
  let startSeconds = secondsInto(startingTempo(first.tempo), start as Units, start);
  return sections.map((section) => {
    const length = section.bars * meterOf(section).bar;
    const end = start + length;
    const endSeconds = startSeconds + secondsInto(section.tempo, length as Units, length);
    const times = { start, end, startSeconds, endSeconds };
    start = end;
    startSeconds = endSeconds;
    return times as { start: Units; end: Units; startSeconds: Seconds; endSeconds: Seconds };
  });
}
