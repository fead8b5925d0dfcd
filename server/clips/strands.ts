/** Each strand's events in a window of the routine: a clip's, or the whole. */
import type { Performance, StrokeEvent } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { meterOf } from "../time/meter.ts";
import type { Timeline } from "../time/timeline.ts";
import { platterSpeed } from "../routine/lookups.ts";
import type { Clock } from "./clock.ts";
import type { Content, PlayerContent } from "./content.ts";
import { BEND_BOUND, bendOf, lookedAt, POSITION_BOUND, pointAt, positionSteps } from "./curve.ts";
import { bendEvent, controller, fitNotes, type Note, noteEvents, type Timed } from "./events.ts";
import { ENCODING, type Strand } from "./strand.ts";

/** Absolute positions; the end is not included. */
export interface Window {
  readonly from: number;
  readonly to: number;
}

export interface StrandEvents {
  /** Ticks from the window's start. */
  readonly events: readonly Timed[];
  /** Notes that had no room: two of one key within two ticks. */
  readonly leftOut: number;
}

export interface Sources {
  readonly routine: Routine;
  readonly performance: Performance;
  readonly timeline: Timeline;
  readonly content: Content;
  readonly clock: Clock;
}

const SIXTEENTH = UNITS_PER_QUARTER / 4;

/** Items of a list in order of start that begin within the window; found by halving. */
function* starting<Item>(
  list: readonly Item[],
  startOf: (item: Item) => number,
  { from, to }: Window,
): Generator<Item> {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (startOf(list[middle] as Item) < from) low = middle + 1;
    else high = middle;
  }
  for (let at = low; at < list.length && startOf(list[at] as Item) < to; at++) yield list[at] as Item;
}

function fromNotes(notes: readonly Note[], end: number): StrandEvents {
  const fitted = fitNotes(notes, end);
  return { events: fitted.notes.flatMap(noteEvents), leftOut: fitted.leftOut };
}

function sounds(
  { clock }: Sources,
  { sounds: list }: PlayerContent,
  window: Window,
  origin: number,
  end: number,
) {
  const { channel, velocity, ...keys } = ENCODING.sounds;
  const notes = [...starting(list, ({ start }) => start, window)].map(
    ({ start, end: stop, direction, onset }) => ({
      key: keys[direction],
      channel,
      velocity: velocity[onset],
      from: clock.tick(start, "hands") - origin,
      to: clock.tick(stop, "hands") - origin,
    }),
  );
  return fromNotes(notes, end);
}

function fader({ clock }: Sources, { openings }: PlayerContent, window: Window, origin: number, end: number) {
  const { channel, controller: number, key, velocity } = ENCODING.fader;
  const notes: Note[] = [];
  const edges: Timed[] = [];
  let atStart = 0;
  for (const { start, end: stop } of openings) {
    if (stop <= window.from) continue;
    if (start >= window.to) break;
    // Open across the window's start: it is open from the first tick on.
    const from = start <= window.from ? 0 : clock.tick(start, "hands") - origin;
    const to = stop >= window.to ? end : clock.tick(stop, "hands") - origin;
    if (from === 0) atStart = 127;
    else edges.push(controller(from, channel, number, 127));
    if (to < end) edges.push(controller(to, channel, number, 0));
    notes.push({ key, channel, velocity, from, to });
  }
  const { events, leftOut } = fromNotes(notes, end);
  return { events: [controller(0, channel, number, atStart), ...edges, ...events], leftOut };
}

function groups(
  sources: Sources,
  { recordGroups, faderGroups }: PlayerContent,
  window: Window,
  origin: number,
  end: number,
) {
  const { clock, routine, performance } = sources;
  const { channel, velocity, record, fader: faderKey, bar, beat } = ENCODING.groups;
  const notes: Note[] = [];
  const add = (key: number, at: number, swung: "straight" | "hands"): void => {
    const from = clock.tick(at, swung) - origin;
    const length = clock.tick(at + SIXTEENTH, "straight") - clock.tick(at, "straight");
    notes.push({ key, channel, velocity, from, to: from + length });
  };
  for (const at of starting(recordGroups, (one) => one, window)) add(record, at, "hands");
  for (const at of starting(faderGroups, (one) => one, window)) add(faderKey, at, "hands");
  const first = performance.sections[0]?.start ?? 0;
  const spans = [
    { start: 0, end: first as number, meter: routine.sections[0]?.meter ?? "4/4" },
    ...performance.sections.map(({ start, end: stop }, index) => ({
      start: start as number,
      end: stop as number,
      meter: routine.sections[index]?.meter ?? "4/4",
    })),
  ];
  for (const span of spans) {
    if (span.end <= window.from || span.start >= window.to) continue;
    const { bar: barUnits, beat: beatUnits } = meterOf(span);
    for (let at = span.start; at < span.end; at += beatUnits) {
      add((at - span.start) % barUnits === 0 ? bar : beat, at, "straight");
    }
  }
  return fromNotes(notes, end);
}

function beatStrand({ clock, content }: Sources, window: Window, origin: number, end: number) {
  const { channel } = ENCODING.beat;
  const notes = [...starting(content.beat, ({ at }) => at, window)].map(({ at, key, velocity }) => {
    const from = clock.tick(at, "beat") - origin;
    const length = clock.tick(at + SIXTEENTH, "straight") - clock.tick(at, "straight");
    return { key, channel, velocity, from, to: from + length };
  });
  return fromNotes(notes, end);
}

/** Values of a control by tick, thinned: a later one within the bound of the last written is left out. */
function thinned(bound: number) {
  const values = new Map<number, number>();
  let last = 0;
  return {
    values,
    set(tick: number, value: number, always: boolean): void {
      if (!always && values.size > 0 && Math.abs(value - last) <= bound) return;
      values.set(tick, value);
      last = value;
    },
  };
}

function record(
  sources: Sources,
  { strokes, repeats }: PlayerContent,
  window: Window,
  origin: number,
  end: number,
) {
  const { channel, fullBend, position } = ENCODING.record;
  const { timeline, clock } = sources;
  const platter = platterSpeed(sources.routine.rig);
  const bends = thinned(BEND_BOUND);
  const places = thinned(POSITION_BOUND);
  // The state at the clip's start: still, where the last stroke before left the record.
  const before = strokes.findLastIndex(({ start }) => start < window.from);
  const left = strokes[before];
  bends.set(0, 0, true);
  places.set(0, left === undefined ? 0 : positionSteps(left.to, repeats[before] as number), true);
  for (let index = Math.max(0, before); index < strokes.length; index++) {
    const stroke = strokes[index] as StrokeEvent;
    if (stroke.start >= window.to) break;
    if (stroke.end <= window.from) continue;
    for (const at of lookedAt(stroke, window)) {
      const { position: degrees, speed } = pointAt(stroke, at, timeline, platter);
      const tick = clock.tick(at, "hands") - origin;
      const edge = at === stroke.start || at === stroke.end || at === window.from;
      bends.set(tick, bendOf(speed, fullBend), edge);
      places.set(tick, positionSteps(degrees, repeats[index] as number), edge);
    }
    // Let go where nothing follows at once.
    const next = strokes[index + 1];
    if (stroke.end < window.to && next?.start !== stroke.end) {
      bends.set(clock.tick(stroke.end, "hands") - origin, 0, true);
    }
  }
  const events: Timed[] = [];
  for (const [tick, value] of bends.values) if (tick < end) events.push(bendEvent(tick, channel, value));
  for (const [tick, value] of places.values) {
    if (tick >= end) continue;
    events.push(controller(tick, channel, position[0], value >> 7, 2));
    events.push(controller(tick, channel, position[1], value & 127, 3));
  }
  return { events, leftOut: 0 };
}

/**
 * @param player whose hands; of no account for the beat
 * @param ticks the window's start and length in ticks
 */
export function strandEvents(
  strand: Strand,
  sources: Sources,
  player: PlayerContent,
  window: Window,
  ticks: { readonly origin: number; readonly length: number },
): StrandEvents {
  switch (strand) {
    case "sounds":
      return sounds(sources, player, window, ticks.origin, ticks.length);
    case "record":
      return record(sources, player, window, ticks.origin, ticks.length);
    case "fader":
      return fader(sources, player, window, ticks.origin, ticks.length);
    case "groups":
      return groups(sources, player, window, ticks.origin, ticks.length);
    case "beat":
      return beatStrand(sources, window, ticks.origin, ticks.length);
  }
}
