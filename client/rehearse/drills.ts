/** What of a routine can be practised, by itself: its phrases, joins, sections, and the whole. */
import type { JoinFacts } from "../../schemas/facts.ts";
import type { PlacedEvent } from "../../schemas/performance.ts";
import { type PracticeOf, practiceKey } from "../../schemas/practice.ts";
import type { Section } from "../../schemas/routine.ts";
import type { LoopRange, Place } from "../../schemas/soundWire.ts";
import { tempoInto } from "../parts/seconds.ts";
import { placementName } from "../rows/SectionRows.tsx";
import type { Opened } from "../state/opened.ts";

export interface Part {
  readonly key: string;
  readonly of: PracticeOf;
  /** "Wake to Home". */
  readonly name: string;
  /** Where: the section's name, or both. */
  readonly where: string;
  readonly range: LoopRange;
  /** Quarters a minute where it starts. */
  readonly tempo: number;
  /** What the hands do in one round. */
  readonly strokes: number;
  readonly clicks: number;
  /** Of a join. */
  readonly join: JoinFacts | null;
}

const nameOf = (section: Section): string => section.name ?? section.id;

/** Quarters a minute at a place of a section. */
export function tempoAt(opened: Opened, { section: id, at }: Place): number {
  const section = opened.routine.sections.find((one) => one.id === id);
  const length = opened.performances.get(id)?.length ?? 0;
  if (section === undefined) return 120;
  return tempoInto(section.tempo, length === 0 ? 0 : Math.min(1, Math.max(0, at / length)));
}

/** The bar of a position, from 0. A moment that was worked out from frames may lie a hair before its bar. */
export const barOf = (at: number, bar: number): number => Math.floor(at / bar + 1e-6);

/** Units from the routine's start; 0 where the section is not there. */
export function absolute({ performance }: Opened, { section, at }: Place): number {
  const timed = performance.sections.find((one) => one.performance.id === section);
  return timed === undefined ? 0 : Math.max(0, timed.start + at);
}

/** Moves and openings that begin in a range. */
export function workIn(opened: Opened, range: LoopRange): { strokes: number; clicks: number } {
  const [from, to] = [absolute(opened, range.from), absolute(opened, range.to)];
  let strokes = 0;
  let clicks = 0;
  for (const { start, end, performance } of opened.performance.sections) {
    if (end + performance.length < from || start - performance.length > to) continue;
    const inside = (event: { readonly start: number }): boolean =>
      start + event.start >= from && start + event.start < to;
    strokes += performance.strokes.filter((one) => one.direction !== "hold" && inside(one)).length;
    clicks += performance.openings.filter(inside).length;
  }
  return { strokes, clicks };
}

const partOf = (opened: Opened, part: Omit<Part, "key" | "tempo" | "strokes" | "clicks">): Part => ({
  ...part,
  key: practiceKey(part.of),
  tempo: tempoAt(opened, part.range.from),
  ...workIn(opened, part.range),
});

/** Whole bars of a section that hold a stretch of it. */
function barsAround(opened: Opened, id: string, from: number, to: number): LoopRange {
  const { bar, length } = opened.performances.get(id)!;
  return {
    from: { section: id, at: Math.max(0, Math.floor(from / bar) * bar) },
    to: { section: id, at: Math.min(length, Math.max(bar, Math.ceil(to / bar) * bar)) },
  };
}

const placed = (opened: Opened, section: string, placement: number): PlacedEvent | undefined =>
  opened.performances.get(section)?.placed.find((one) => one.placement === placement);

function joinRange(opened: Opened, join: JoinFacts, bars: number): LoopRange | null {
  const from = placed(opened, join.from.section, join.from.placement);
  const to = placed(opened, join.to.section, join.to.placement);
  if (from === undefined || to === undefined) return null;
  const before = opened.performances.get(join.from.section)!.bar;
  const after = opened.performances.get(join.to.section)!.bar;
  return {
    from: barsAround(opened, join.from.section, Math.max(from.start, from.end - bars * before), from.end)
      .from,
    to: barsAround(opened, join.to.section, to.start, Math.min(to.end, to.start + bars * after)).to,
  };
}

/** Each once, in the order of the routine: joins as they are reached, then phrases, sections, the whole. */
export function partsOf(opened: Opened, joinBars: number): readonly Part[] {
  const { routine, performance } = opened;
  const indexOf = (id: string): number => routine.sections.findIndex((one) => one.id === id);
  const parts = new Map<string, Part>();
  const add = (part: Part): void => {
    if (!parts.has(part.key)) parts.set(part.key, part);
  };
  const phrase = ({ section, placement }: JoinFacts["from"]) => ({
    section,
    pattern: placed(opened, section, placement)?.pattern ?? "",
  });
  // Of joins that ask the same, the one with the least time stands for all.
  const joins = [...opened.sectionFacts.values()].flatMap((facts) => facts.joins);
  const tight = [...joins].sort((a, b) => a.seconds - b.seconds);
  const chosen = new Map<string, JoinFacts>();
  for (const join of tight) {
    const key = practiceKey({ kind: "join", from: phrase(join.from), to: phrase(join.to) });
    if (!chosen.has(key)) chosen.set(key, join);
  }
  for (const join of joins.filter((one) => [...chosen.values()].includes(one))) {
    const range = joinRange(opened, join, joinBars);
    if (range === null) continue;
    const [from, to] = [indexOf(join.from.section), indexOf(join.to.section)];
    const where = [...new Set([routine.sections[from]!, routine.sections[to]!].map(nameOf))].join(" to ");
    const name = `${placementName(routine, from, join.from.placement)} to ${placementName(routine, to, join.to.placement)}`;
    add(
      partOf(opened, {
        of: { kind: "join", from: phrase(join.from), to: phrase(join.to) },
        name,
        where,
        range,
        join,
      }),
    );
  }
  for (const [index, section] of routine.sections.entries()) {
    for (const one of performance.sections[index]?.performance.placed ?? []) {
      if (one.pattern === null) continue;
      const of: PracticeOf = { kind: "phrase", section: section.id, pattern: one.pattern };
      const name = placementName(routine, index, one.placement);
      const range = barsAround(opened, section.id, one.start, one.end);
      add(partOf(opened, { of, name, where: nameOf(section), range, join: null }));
    }
  }
  for (const section of routine.sections) {
    const length = opened.performances.get(section.id)?.length ?? 0;
    const range = { from: { section: section.id, at: 0 }, to: { section: section.id, at: length } };
    add(
      partOf(opened, {
        of: { kind: "section", section: section.id },
        name: nameOf(section),
        where: "",
        range,
        join: null,
      }),
    );
  }
  const [first, last] = [routine.sections[0]!, routine.sections.at(-1)!];
  const lead = -(performance.leadInBars * (performance.sections[0]?.performance.bar ?? 0));
  const end = opened.performances.get(last.id)?.length ?? 0;
  const range = { from: { section: first.id, at: lead }, to: { section: last.id, at: end } };
  add(partOf(opened, { of: { kind: "whole" }, name: "The whole routine", where: "", range, join: null }));
  return [...parts.values()];
}
