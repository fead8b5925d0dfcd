/**
 * What the strands carry, a player at a time: of the whole routine, or of the sections that sound in a window of it.
 * Positions are units from an origin: the routine's start, or the window's.
 */
import { platterSpeed } from "../../schemas/rig.ts";
import type { BeatEvent, Performance, SoundEvent, StrokeEvent } from "../../schemas/performance.ts";
import { isWords, type Routine } from "../../schemas/routine.ts";
import { repeatsEvery, sampleOf } from "../routine/lookups.ts";

export interface Interval {
  readonly start: number;
  readonly end: number;
}

export type Sound = Interval & Pick<SoundEvent, "direction" | "onset">;

/** A stroke with what its placement says of the record under it. */
export interface Stroke extends Omit<StrokeEvent, keyof Interval | "fullEnd">, Interval {
  readonly fullEnd: number;
  /** Degrees after which the sound of its sample repeats; 0: it does not. */
  readonly repeat: number;
  /** Degrees a second of the platter, its pitch slider where the owner's section sets it. */
  readonly platter: number;
}

export interface PlayerContent {
  readonly player: number;
  readonly sounds: readonly Sound[];
  readonly strokes: readonly Stroke[];
  /** Merged across placements that touch: the fader did not shut there. */
  readonly openings: readonly Interval[];
  readonly recordGroups: readonly number[];
  readonly faderGroups: readonly number[];
}

export type BeatHit = Omit<BeatEvent, "at"> & { readonly at: number };

export interface Content {
  readonly players: ReadonlyMap<number, PlayerContent>;
  readonly beat: readonly BeatHit[];
}

type Mutable<T> = { -readonly [Key in keyof T]: T[Key] extends readonly (infer Item)[] ? Item[] : T[Key] };

export const noHands = (player: number): Mutable<PlayerContent> => ({
  player,
  sounds: [],
  strokes: [],
  openings: [],
  recordGroups: [],
  faderGroups: [],
});

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

/**
 * @param indices of the sections whose events are taken
 * @param origin units from the start of the routine that positions count from
 */
export function contentOf(
  routine: Routine,
  performance: Performance,
  indices: Iterable<number>,
  origin: number,
): Content {
  const players = new Map<number, Mutable<PlayerContent>>();
  const beat: BeatHit[] = [];
  for (const index of indices) {
    const timed = performance.sections[index] as Performance["sections"][number];
    const section = timed.performance;
    const start = timed.start - origin;
    const { pitch, placements } = routine.sections[index] as Routine["sections"][number];
    const platter = platterSpeed(routine.rig, pitch);
    const owners = new Map<number, { content: Mutable<PlayerContent>; repeat: number }>();
    for (const { placement, player, pattern, recordGroups, faderGroups } of section.placed) {
      const content = players.get(player) ?? noHands(player);
      players.set(player, content);
      const placed = placements[placement];
      const sample = placed === undefined || isWords(placed) ? undefined : placed.sample;
      owners.set(placement, { content, repeat: repeatsEvery(sampleOf(routine.rig, sample)) });
      if (pattern === null) continue;
      for (const at of recordGroups) content.recordGroups.push(start + at);
      for (const at of faderGroups) content.faderGroups.push(start + at);
    }
    const of = (placement: number) =>
      owners.get(placement) as { content: Mutable<PlayerContent>; repeat: number };
    const moved = (event: Interval): Interval => ({ start: start + event.start, end: start + event.end });
    for (const event of section.sounds)
      of(event.placement).content.sounds.push({
        start: start + event.start,
        end: start + event.end,
        direction: event.direction,
        onset: event.onset,
      });
    for (const event of section.openings) of(event.placement).content.openings.push(moved(event));
    for (const event of section.strokes) {
      const { content, repeat } = of(event.placement);
      const fullEnd = start + event.fullEnd;
      content.strokes.push({ ...event, ...moved(event), fullEnd, repeat, platter });
    }
    for (const { at, key, velocity } of section.beat) beat.push({ at: start + at, key, velocity });
  }
  for (const content of players.values()) {
    content.sounds.sort(byStart);
    content.strokes.sort(byStart);
    content.openings = merged(content.openings.sort(byStart));
    content.recordGroups.sort((a, b) => a - b);
    content.faderGroups.sort((a, b) => a - b);
  }
  return { players, beat };
}

/** The numbers of the players of a routine, in order; the first alone where nobody plays. */
export function playersOf(performance: Performance): number[] {
  const players = new Set<number>();
  for (const { performance: section } of performance.sections) {
    for (const { player } of section.placed) players.add(player);
  }
  return players.size === 0 ? [1] : [...players].sort((a, b) => a - b);
}
