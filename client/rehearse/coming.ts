/** What lies ahead of a place, in the few words that can be read from afar. */
import type { JoinFacts } from "../../schemas/facts.ts";
import { beatUnits, clockText, counted, hoursText, tidy } from "../parts/music.ts";
import { secondsAt } from "../parts/seconds.ts";
import { placementName } from "../rows/SectionRows.tsx";
import type { Opened } from "../state/opened.ts";
import { absolute, barOf, type Part } from "./drills.ts";
import type { Here } from "../far/here.ts";

export interface Coming {
  /** Words for the hands that hold now. */
  readonly words: string | null;
  /** "5 bars to go", to the end of the part or, in a run, of the section. */
  readonly toGo: string;
  /** What starts next, and when: "In 2 bars: Home". */
  readonly next: string | null;
  /** How the record gets there; null where it is words, or flows on. */
  readonly reset: string | null;
  /** In a run, of the limit, or of the routine where there is none; of what is recorded. */
  readonly left: string | null;
}

/** Beats between the two phrases of a join, as they are counted: "2 beats", "half a beat", "at once". */
function countText({ performances, routine }: Opened, { from, to }: JoinFacts): string {
  const ofSection = (id: string) => performances.get(id);
  const end = ofSection(from.section)?.placed.find(({ placement }) => placement === from.placement)?.end ?? 0;
  const start = ofSection(to.section)?.placed.find(({ placement }) => placement === to.placement)?.start ?? 0;
  const across = from.section === to.section ? 0 : (ofSection(from.section)?.length ?? 0);
  const meter = routine.sections.find(({ id }) => id === to.section)?.meter ?? "4/4";
  const beats = (start + across - end) / beatUnits(meter);
  if (beats <= 0) return "at once";
  return beats === 0.5 ? "half a beat" : beats === 1 ? "1 beat" : `${tidy(beats)} beats`;
}

/** "Record back 3 hours (90°), 2 beats". */
export function resetText(opened: Opened, join: JoinFacts): string {
  const section = opened.routine.sections.find(({ id }) => id === join.to.section);
  const placed = section?.placements[join.to.placement];
  if (placed !== undefined && "arrives" in placed && placed.arrives === "cue") return "Press the cue";
  if (join.sampleChanges) return `To another sample, ${countText(opened, join)}`;
  const degrees = join.moveDegrees ?? 0;
  if (join.verdict === "flows" || degrees === 0) return "The record stays";
  return `Record ${degrees > 0 ? "forward" : "back"} ${hoursText(Math.abs(degrees))}, ${countText(opened, join)}`;
}

const inBars = (bars: number): string =>
  bars <= 0 ? "In this bar" : bars === 1 ? "In the next bar" : `In ${bars} bars`;

/** @param part what is practised; null in a run */
export function comingAt(opened: Opened, here: Here, part: Part | null): Coming {
  const { performance, routine } = opened;
  const timed = performance.sections[here.section]!;
  const { bar, length } = timed.performance;
  const position = timed.start + here.at;
  const end = here.mode !== "run" && part !== null ? absolute(opened, part.range.to) : timed.start + length;
  const barNow = barOf(here.at, bar);
  const barsTo = (at: number): number => Math.floor((at - timed.start) / bar) - barNow;
  let words: string | null = null;
  let next: { at: number; name: string; owner: number; placement: number; words: boolean } | null = null;
  for (const index of [here.section, here.section + 1]) {
    const { start, performance: own } = performance.sections[index] ?? {};
    if (start === undefined || own === undefined) continue;
    for (const placed of own.placed) {
      const [from, to] = [start + placed.start, start + placed.end];
      if (placed.words !== null && from <= position && position < to) words = placed.words;
      if (from <= position || from >= end + (here.mode === "run" ? own.length : 0)) continue;
      if (next !== null && next.at <= from) continue;
      const name = placed.words ?? placementName(routine, index, placed.placement);
      next = { at: from, name, owner: index, placement: placed.placement, words: placed.words !== null };
    }
  }
  const join =
    next === null || next.words
      ? undefined
      : opened.sectionFacts
          .get(routine.sections[next.owner]!.id)
          ?.joins.find(
            ({ to }) => to.placement === next.placement && to.section === routine.sections[next.owner]!.id,
          );
  const toGo = Math.max(1, Math.ceil((end - timed.start) / bar) - barNow);
  const limit = routine.timeLimit ?? performance.endSeconds;
  const seconds =
    timed.startSeconds +
    ((timed.endSeconds - timed.startSeconds) * Math.max(0, here.at)) / Math.max(1, length);
  return {
    words,
    toGo: toGo === 1 ? "The last bar" : `${counted(toGo, "bar")} to go`,
    next: next === null ? null : `${inBars(barsTo(next.at))}: ${next.words ? `“${next.name}”` : next.name}`,
    reset: join === undefined ? null : resetText(opened, join),
    left:
      here.mode === "run"
        ? `${clockText(Math.ceil(limit - seconds))} left`
        : here.mode === "take"
          ? `${clockText(Math.ceil((secondsAt(opened, end) - seconds) / here.speed))} left`
          : null,
  };
}
