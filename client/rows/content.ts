/**
 * What stands in each bar row of a section: its own events, and the pickups of later sections that sound in its
 * time. Remembered by the identity of the performances, so that an edit costs the rows that it touches.
 */
import type {
  BeatEvent,
  OpeningEvent,
  Performance,
  PlacedEvent,
  SectionPerformance,
  SoundEvent,
  StrokeEvent,
} from "../../schemas/performance.ts";
import type { Units } from "../../schemas/units.ts";
import { sameItems } from "../../schemas/sameItems.ts";

/** An event and the section that owns it; times are units from the start of the section that is drawn. */
export type Owned<Event> = Event & { readonly owner: number };

/** One round of a hand's group. */
export interface Group {
  readonly start: number;
  readonly end: number;
  /** 0 for the first round in its placement: odd and even rounds are toned differently. */
  readonly round: number;
  readonly player: number;
}

export interface Row {
  /** 1 for the first bar; 0 and below in the lead-in. */
  readonly number: number;
  readonly start: number;
  readonly placed: readonly Owned<PlacedEvent>[];
  readonly strokes: readonly Owned<StrokeEvent>[];
  readonly openings: readonly Owned<OpeningEvent>[];
  readonly sounds: readonly Owned<SoundEvent>[];
  readonly beat: readonly BeatEvent[];
  /** Where the beat's own loop starts anew. */
  readonly beatStarts: readonly number[];
  readonly recordGroups: readonly Group[];
  readonly faderGroups: readonly Group[];
}

export interface SectionContent {
  readonly rows: readonly Row[];
  /** The players that have something in it, ascending; at least one. */
  readonly players: readonly number[];
  readonly bar: Units;
  /** Rows that stand before bar 1: the lead-in of the first section. */
  readonly leadIn: number;
}

type Shiftable = { readonly start: number; readonly end: number };

const earliest = new WeakMap<SectionPerformance, number>();
function firstStart(performance: SectionPerformance): number {
  let start = earliest.get(performance);
  if (start === undefined) {
    start = performance.placed.reduce((least, { start }) => Math.min(least, start), 0);
    earliest.set(performance, start);
  }
  return start;
}

/** Performances whose events may sound in a section, with the shift to its own time. */
function sources(sections: Performance["sections"], index: number): { owner: number; shift: number }[] {
  const own = sections[index]!;
  const found = [{ owner: index, shift: 0 }];
  for (let later = index + 1; later < sections.length; later++) {
    const other = sections[later]!;
    if (other.start + firstStart(other.performance) < own.end)
      found.push({ owner: later, shift: other.start - own.start });
    // No pickup reaches further back than 999 bars; in practice one bar. Stop where none can.
    if (other.start - own.end > 999 * other.performance.bar) break;
  }
  return found;
}

const remembered = new WeakMap<SectionPerformance, { key: readonly unknown[]; content: SectionContent }>();

export function contentOf(performance: Performance, index: number): SectionContent {
  const { sections } = performance;
  const own = sections[index]!.performance;
  const from = sources(sections, index);
  const leadIn = index === 0 ? performance.leadInBars : 0;
  const key = [leadIn, ...from.flatMap(({ owner, shift }) => [owner, shift, sections[owner]!.performance])];
  const before = remembered.get(own);
  if (before !== undefined && sameItems(before.key, key)) return before.content;
  const content = build(performance, index, from, leadIn);
  remembered.set(own, { key, content });
  return content;
}

function build(
  { sections }: Performance,
  index: number,
  from: readonly { owner: number; shift: number }[],
  leadIn: number,
): SectionContent {
  const own = sections[index]!.performance;
  const { bar, length } = own;
  const count = leadIn + Math.round(length / bar);
  const rows = Array.from({ length: count }, (_, row) => ({
    number: row + 1 - leadIn,
    start: (row - leadIn) * bar,
    placed: [] as Owned<PlacedEvent>[],
    strokes: [] as Owned<StrokeEvent>[],
    openings: [] as Owned<OpeningEvent>[],
    sounds: [] as Owned<SoundEvent>[],
    beat: [] as BeatEvent[],
    beatStarts: [] as number[],
    recordGroups: [] as Group[],
    faderGroups: [] as Group[],
  }));
  const least = -leadIn * bar;
  /** Puts an event into every row that it touches, or none. */
  function put<Event extends Shiftable>(
    event: Event,
    into: (row: (typeof rows)[number], event: Event) => void,
  ): void {
    if (event.end <= least || event.start >= length) return;
    const first = Math.max(0, Math.floor(event.start / bar) + leadIn);
    const last = Math.min(count - 1, Math.ceil(event.end / bar) - 1 + leadIn);
    for (let row = first; row <= last; row++) into(rows[row]!, event);
  }
  const players = new Set<number>();
  for (const { owner, shift } of from) {
    const performance = sections[owner]!.performance;
    const own = <Event extends Shiftable>(event: Event): Owned<Event> => ({
      ...event,
      start: event.start + shift,
      end: event.end + shift,
      owner,
    });
    for (const event of performance.placed) {
      const placed = own(event);
      if (placed.start < length && placed.end > least) players.add(placed.player);
      put(placed, (row, it) => row.placed.push(it));
      for (const group of groupsOf(placed, event.recordGroups, shift)) {
        put(group, (row, it) => row.recordGroups.push(it));
      }
      for (const group of groupsOf(placed, event.faderGroups, shift)) {
        put(group, (row, it) => row.faderGroups.push(it));
      }
    }
    for (const event of performance.strokes) put(own(event), (row, it) => row.strokes.push(it));
    for (const event of performance.openings) put(own(event), (row, it) => row.openings.push(it));
    for (const event of performance.sounds) put(own(event), (row, it) => row.sounds.push(it));
  }
  for (const event of own.beat) rows[Math.floor(event.at / bar) + leadIn]?.beat.push(event);
  if (own.beatLength > 0) {
    for (let at = -own.beatPhase; at < length; at += own.beatLength)
      if (at >= 0) rows[Math.floor(at / bar) + leadIn]?.beatStarts.push(at);
  }
  return { rows, players: players.size === 0 ? [1] : [...players].sort((a, b) => a - b), bar, leadIn };
}

/** The rounds of a group: from each start to the next, the last to the placement's end. */
function groupsOf(placed: Owned<PlacedEvent>, starts: readonly number[], shift: number): Group[] {
  return starts.map((start, round) => ({
    start: start + shift,
    end: (starts[round + 1] ?? placed.end - shift) + shift,
    round,
    player: placed.player,
  }));
}
