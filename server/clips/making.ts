/** What all files of a routine are made from: its windows, the encoding, the resolution, and what is remembered. */
import {
  DEFAULT_MAPPING,
  type Encoding,
  encodingOf,
  type Mapping,
  MOST_TICKS,
} from "../../schemas/mapping.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { timelineOf } from "../time/timeline.ts";
import { playersOf } from "./content.ts";
import { type Curve, curveOf } from "./curve.ts";
import { exactResolution } from "./resolution.ts";
import { type Clock, clockOf } from "./ticks.ts";
import { type Voice, voicesOf } from "./voices.ts";
import { type ClipWindow, type WindowMemory, windowsOf } from "./windows.ts";

export interface ClipOptions {
  /** Ticks a quarter, or the smallest number that puts every event on a tick; the mapping's where it is left out. */
  readonly ppq?: number | "exact";
  /** The one that the routine uses where it is left out. */
  readonly mapping?: Mapping;
  /** What was made of this routine before. */
  readonly memory?: WindowMemory;
  /** Told how much is done, 0 to 1, while files are made; what it throws ends the work. */
  readonly tell?: ((done: number) => void) | undefined;
}

/** No number of ticks that a MIDI file can hold puts every event on a tick. */
export class NoExactResolution extends Error {
  constructor() {
    super(
      `No resolution up to ${MOST_TICKS} ticks a quarter puts every event on a tick. Choose 960: each event is then at most half a tick off.`,
    );
  }
}

/** The mapping that a routine is written by. */
export const mappingOf = (routine: Routine): Mapping =>
  (routine.mappings?.[0] as Mapping | undefined) ?? DEFAULT_MAPPING;

/** What is made of a routine's windows at one resolution and by one encoding. */
export interface Making {
  readonly routine: Routine;
  readonly performance: Performance;
  readonly encoding: Encoding;
  readonly ppq: number;
  readonly windows: readonly ClipWindow[];
  readonly voices: readonly Voice[];
  readonly clock: Clock;
  /** The record hand of a player in a window, remembered with it. */
  curve(window: ClipWindow, player: number): Curve;
}

export function makingOf(
  routine: Routine,
  performance: Performance,
  { ppq: asked, mapping = mappingOf(routine), memory = new Map() }: ClipOptions = {},
): Making {
  const encoding = encodingOf(mapping);
  const wanted = asked ?? encoding.ppq;
  const windows = windowsOf(routine, performance, memory);
  const ppq =
    wanted === "exact" ? exactResolution(windows.flatMap(({ denominators }) => [...denominators])) : wanted;
  if (ppq === null) throw new NoExactResolution();
  const clock = clockOf(routine, performance, ppq);
  const timeline = timelineOf(routine.sections, performance.sections);
  const full = encoding.record.fullSpeed;
  return {
    routine,
    performance,
    encoding,
    ppq,
    windows,
    voices: voicesOf(encoding, playersOf(performance)),
    clock,
    curve: ({ from, to, content, left, kept }, player) =>
      remembered(kept, `curve ${player} ${ppq} ${full}`, () =>
        curveOf(
          content.players.get(player)?.strokes ?? [],
          left.get(player) ?? 0,
          { from: 0, to: to - from },
          full,
          { between: (a, b, swung) => timeline.between(from + a, from + b, swung) },
          ticksFrom(clock, from),
        ),
      ),
  };
}

/** The clock for positions that count from `from`, units from the routine's start. */
export const ticksFrom = (clock: Clock, from: number): Pick<Clock, "tick"> => ({
  tick: (position, swung) => clock.tick(from + position, swung),
});

/** Things kept with a window: those of a few mappings and resolutions. */
const MOST_KEPT = 32;

export function remembered<Value>(kept: Map<string, unknown>, name: string, make: () => Value): Value {
  let value = kept.get(name) as Value | undefined;
  if (value === undefined) {
    value = make();
    if (kept.size >= MOST_KEPT) kept.clear();
    kept.set(name, value);
  }
  return value;
}
