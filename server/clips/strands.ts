/** Each strand's events in a window of the routine: a clip's, or the whole. */
import type { Encoding } from "../../schemas/mapping.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { meterOf } from "../time/meter.ts";
import type { Swung } from "../time/timeline.ts";
import type { Content, Interval, PlayerContent } from "./content.ts";
import type { Curve, Values } from "./curve.ts";
import { type Events, fitNotes, type Note } from "./events.ts";
import type { Strand } from "./strand.ts";
import type { Clock } from "./ticks.ts";

/** Positions from the same origin as the content's; the end is not included. */
export interface Window {
  readonly from: number;
  readonly to: number;
}

/** What a strand is written from. */
export interface Sources {
  readonly encoding: Encoding;
  /** From positions of the content to ticks. */
  readonly clock: Pick<Clock, "tick">;
  /** Stretches of one metre each. */
  readonly meters: readonly (Window & { readonly meter: string })[];
  readonly window: Window;
  readonly player: PlayerContent;
  readonly beat: Content["beat"];
  /** The record's curves, each from a tick of the window on. */
  readonly curves: () => readonly { readonly at: number; readonly curve: Curve }[];
}

const SIXTEENTH = UNITS_PER_QUARTER / 4;

/** Index of the first item of a list in order for which `is` holds; found by halving. */
function firstWhere<Item>(list: readonly Item[], is: (item: Item) => boolean): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (is(list[middle] as Item)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Items that begin within the window. */
function* starting<Item>(list: readonly Item[], startOf: (item: Item) => number, { from, to }: Window) {
  for (let at = firstWhere(list, (item) => startOf(item) >= from); at < list.length; at++) {
    if (startOf(list[at] as Item) >= to) return;
    yield list[at] as Item;
  }
}

/** What sounds within the window, also where it began before; one player's never overlap, so ends are in order too. */
function* sounding<Item extends Interval>(list: readonly Item[], { from, to }: Window) {
  for (let at = firstWhere(list, ({ end }) => end > from); at < list.length; at++) {
    if ((list[at] as Item).start >= to) return;
    yield list[at] as Item;
  }
}

/** Ticks from the window's start, and the window's length in them. */
function ticksIn({ clock, window }: Sources) {
  const origin = clock.tick(window.from, "straight");
  const end = clock.tick(window.to, "straight") - origin;
  return {
    end,
    at: (position: number, swung: Swung): number => clock.tick(position, swung) - origin,
    /** What began before the window is there from its first tick on, what goes on after it to its end. */
    edges: ({ start, end: stop }: Interval) => ({
      from: start <= window.from ? 0 : clock.tick(start, "hands") - origin,
      to: stop >= window.to ? end : clock.tick(stop, "hands") - origin,
    }),
    sixteenth: clock.tick(window.from + SIXTEENTH, "straight") - origin,
  };
}

/** @returns how many notes had no room: two of one key within two ticks */
function addNotes(events: Events, notes: readonly Note[], end: number): number {
  const fitted = fitNotes(notes, end);
  for (const note of fitted.notes) events.note(note);
  return fitted.leftOut;
}

/** Adds a strand's events, at ticks from the window's start. @returns how many notes had no room */
type Write = (sources: Sources, events: Events) => number;

const sounds: Write = (sources, events) => {
  const { channel, velocity, ...keys } = sources.encoding.sounds;
  const { end, edges } = ticksIn(sources);
  const notes = [...sounding(sources.player.sounds, sources.window)].map((sound) => ({
    key: keys[sound.direction],
    channel: channel - 1,
    velocity: velocity[sound.onset],
    ...edges(sound),
  }));
  return addNotes(events, notes, end);
};

const fader: Write = (sources, events) => {
  const { channel: counted, controller: number, key, velocity, open, closed } = sources.encoding.fader;
  const channel = counted - 1;
  const { end, edges } = ticksIn(sources);
  const notes: Note[] = [];
  let atStart = closed;
  for (const opening of sounding(sources.player.openings, sources.window)) {
    const { from, to } = edges(opening);
    if (number !== "none") {
      if (from === 0) atStart = open;
      else events.controller(from, channel, number, open);
      if (to < end) events.controller(to, channel, number, closed);
    }
    if (key !== "none") notes.push({ key, channel, velocity, from, to });
  }
  if (number !== "none") events.controller(0, channel, number, atStart);
  return addNotes(events, notes, end);
};

const groups: Write = (sources, events) => {
  const { channel, velocity, ...keys } = sources.encoding.groups;
  const { player, window, meters } = sources;
  const { end, at, sixteenth } = ticksIn(sources);
  const notes: Note[] = [];
  const add = (key: number | "none", position: number, swung: Swung): void => {
    if (key === "none") return;
    const from = at(position, swung);
    notes.push({ key, channel: channel - 1, velocity, from, to: from + sixteenth });
  };
  for (const one of starting(player.recordGroups, (start) => start, window)) add(keys.record, one, "hands");
  for (const one of starting(player.faderGroups, (start) => start, window)) add(keys.fader, one, "hands");
  for (const { from, to, meter } of meters) {
    if (to <= window.from || from >= window.to) continue;
    const { bar, beat } = meterOf({ meter });
    for (let one = from; one < to; one += beat)
      add((one - from) % bar === 0 ? keys.bar : keys.beat, one, "straight");
  }
  return addNotes(events, notes, end);
};

const beat: Write = (sources, events) => {
  const { channel, keys } = sources.encoding.beat;
  const as = new Map(keys.map((one) => [one.key, one.as]));
  const { end, at, sixteenth } = ticksIn(sources);
  const notes: Note[] = [];
  for (const { at: position, key: own, velocity } of starting(
    sources.beat,
    (hit) => hit.at,
    sources.window,
  )) {
    const key = as.get(own) ?? own;
    if (key === "none") continue;
    const from = at(position, "beat");
    notes.push({ key, channel: channel - 1, velocity, from, to: from + sixteenth });
  }
  return addNotes(events, notes, end);
};

const record: Write = ({ encoding, curves }, events) => {
  const { channel: counted, bend, speed, position, fine } = encoding.record;
  const channel = counted - 1;
  /** 14 bits as a pair of controllers, the high byte first; or the high byte alone. */
  const wide = (tick: number, number: number, value: number): void => {
    events.controller(tick, channel, number, value >> 7, 2);
    if (fine) events.controller(tick, channel, number + 32, value & 127, 3);
  };
  const each = (values: Values, at: number, act: (tick: number, value: number) => void): void => {
    for (let index = 0; index < values.length; index += 2)
      act(at + (values[index] as number), values[index + 1] as number);
  };
  for (const { at, curve } of curves()) {
    if (bend) each(curve.speeds, at, (tick, value) => events.bend(tick, channel, value));
    if (speed !== "none") each(curve.speeds, at, (tick, value) => wide(tick, speed, value + 8192));
    if (position !== "none") each(curve.positions, at, (tick, value) => wide(tick, position, value));
  }
  return 0;
};

const STRANDS_WRITTEN: Readonly<Record<Strand, Write>> = { sounds, record, fader, groups, beat };

/** Adds a strand's events, at ticks from the window's start. @returns how many notes had no room */
export const addStrand = (strand: Strand, sources: Sources, events: Events): number =>
  STRANDS_WRITTEN[strand](sources, events);
