/**
 * What the strands carry, at absolute positions (units from the start of the routine), a player at a time. A clip is
 * a window on it: it holds what sounds in its section's time, whoever owns it.
 */
import type { BeatEvent, Performance, SoundEvent, StrokeEvent } from "../../schemas/performance.ts";

export interface Interval {
  readonly start: number;
  readonly end: number;
}

export interface PlayerContent {
  readonly player: number;
  readonly sounds: readonly SoundEvent[];
  readonly strokes: readonly StrokeEvent[];
  /** Merged across placements that touch: the fader did not shut there. */
  readonly openings: readonly Interval[];
  readonly recordGroups: readonly number[];
  readonly faderGroups: readonly number[];
  /** Degrees after which the sound of a stroke's sample repeats, by section and placement. */
  readonly repeats: readonly number[];
}

export interface Content {
  readonly players: readonly PlayerContent[];
  readonly beat: readonly BeatEvent[];
}

type Mutable<T> = { -readonly [Key in keyof T]: T[Key] extends readonly (infer Item)[] ? Item[] : T[Key] };

const byStart = (a: Interval, b: Interval): number => a.start - b.start;

function merged(openings: readonly Interval[]): Interval[] {
  const result: { start: number; end: number }[] = [];
  for (const { start, end } of openings) {
    const last = result.at(-1);
    if (last !== undefined && start <= last.end) last.end = Math.max(last.end, end);
    else result.push({ start, end });
  }
  return result;
}

/** @param repeatOf degrees after which the sample of a placement repeats */
export function contentOf(
  performance: Performance,
  repeatOf: (section: number, placement: number) => number,
): Content {
  const players = new Map<number, Mutable<PlayerContent>>();
  const beat: BeatEvent[] = [];
  for (const [index, { start, performance: section }] of performance.sections.entries()) {
    const owner = new Map(section.placed.map(({ placement, player }) => [placement, player]));
    const of = (placement: number): Mutable<PlayerContent> => {
      const player = owner.get(placement) as number;
      let content = players.get(player);
      if (content === undefined) {
        content = {
          player,
          sounds: [],
          strokes: [],
          openings: [],
          recordGroups: [],
          faderGroups: [],
          repeats: [],
        };
        players.set(player, content);
      }
      return content;
    };
    const moved = <Event extends Interval>(event: Event): Event => ({
      ...event,
      start: start + event.start,
      end: start + event.end,
    });
    for (const event of section.sounds) of(event.placement).sounds.push(moved(event));
    for (const event of section.openings) of(event.placement).openings.push(moved(event));
    for (const event of section.strokes) {
      const content = of(event.placement);
      content.strokes.push({ ...moved(event), fullEnd: (start + event.fullEnd) as StrokeEvent["fullEnd"] });
      content.repeats.push(repeatOf(index, event.placement));
    }
    for (const { placement, pattern, recordGroups, faderGroups } of section.placed) {
      if (pattern === null) continue;
      of(placement).recordGroups.push(...recordGroups.map((at) => start + at));
      of(placement).faderGroups.push(...faderGroups.map((at) => start + at));
    }
    for (const hit of section.beat) beat.push({ ...hit, at: (start + hit.at) as BeatEvent["at"] });
  }
  const result = [...players.values()].sort((a, b) => a.player - b.player);
  for (const content of result) {
    content.sounds.sort(byStart);
    content.openings = merged(content.openings.sort(byStart));
    // Strokes and their repeats stand side by side, so both are put in order together.
    const order = content.strokes.map((_, at) => at);
    order.sort((a, b) => byStart(content.strokes[a] as StrokeEvent, content.strokes[b] as StrokeEvent));
    content.repeats = order.map((at) => content.repeats[at] as number);
    content.strokes = order.map((at) => content.strokes[at] as StrokeEvent);
    content.recordGroups.sort((a, b) => a - b);
    content.faderGroups.sort((a, b) => a - b);
  }
  return { players: result, beat };
}
