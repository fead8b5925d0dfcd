/**
 * The record hand as two continuous controls: its speed and its position. Both are thinned to a stated bound: between
 * two values the true one strays from the last one given by at most that, and a little more only where it would need
 * more than one value a tick of the grid. Nothing here depends on where a section stands in the routine, so that a
 * section's curve stays what it is when something before it changes.
 */
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { doneAfter } from "../hands/record.ts";
import type { Timeline } from "../time/timeline.ts";
import type { Stroke } from "./content.ts";
import type { Clock } from "./ticks.ts";

/** Steps of the speed (of 8192 each way) and of the position (of 16384) that a curve may stray. */
const SPEED_BOUND = 128;
const POSITION_BOUND = 64;

/** A curve is looked at this often: 48 times a quarter. */
const GRID = UNITS_PER_QUARTER / 48;
/** Half the stretch over which speed is measured. */
const NUDGE = Math.floor(GRID / 64);

export type Between = Pick<Timeline, "between">;

/** Ticks from the start of a window and values, in turns, in order of time. */
export type Values = Int32Array;
export interface Curve {
  /** -8192 to 8191, 0 still; full deflection is so many times platter speed. */
  readonly speeds: Values;
  /** 0 to 16383 within the sample's repeat, or within a turn where it does not repeat. */
  readonly positions: Values;
}

/** Degrees at a position within a stroke. */
function positionAt(stroke: Stroke, at: number, timeline: Between): number {
  if (stroke.direction === "hold" || at <= stroke.start) return stroke.from;
  if (at >= stroke.end) return stroke.to;
  if (stroke.shape === "released") {
    const whole = timeline.between(stroke.start, stroke.end, "hands");
    return stroke.from + (stroke.to - stroke.from) * (timeline.between(stroke.start, at, "hands") / whole);
  }
  const part = (at - stroke.start) / (stroke.fullEnd - stroke.start);
  return stroke.from + stroke.fullTravel * doneAfter(stroke.shape, part);
}

/** Times platter speed, at the pitch slider's setting. */
function speedAt(stroke: Stroke, at: number, timeline: Between): number {
  if (stroke.direction === "hold") return 0;
  const nudge = Math.max(1, Math.min(NUDGE, Math.floor((stroke.end - stroke.start) / 8)));
  const from = Math.max(stroke.start, at - nudge);
  const to = Math.min(stroke.end, at + nudge);
  const moved = positionAt(stroke, to, timeline) - positionAt(stroke, from, timeline);
  return moved / timeline.between(from, to, "hands") / stroke.platter;
}

const speedSteps = (speed: number, full: number): number =>
  Math.max(-8192, Math.min(8191, Math.round((speed / full) * 8192)));

export function positionSteps(degrees: number, repeat: number): number {
  const round = repeat === 0 ? 360 : repeat;
  const part = degrees / round - Math.floor(degrees / round);
  return Math.min(16_383, Math.floor(part * 16_384));
}

/** Values by tick; a later one within the bound of the last kept is left out. */
class Thinned {
  readonly values = new Map<number, number>();
  readonly #bound: number;
  #last = 0;
  constructor(bound: number) {
    this.#bound = bound;
  }
  set(tick: number, value: number, always: boolean): void {
    if (!always && Math.abs(value - this.#last) <= this.#bound) return;
    this.values.set(tick, value);
    this.#last = value;
  }
  before(end: number): Values {
    const ticks = [...this.values.keys()].filter((tick) => tick < end).sort((a, b) => a - b);
    return Int32Array.from(ticks.flatMap((tick) => [tick, this.values.get(tick) as number]));
  }
}

/**
 * @param strokes of one player, in order; those outside the window are passed over
 * @param at where the record stands when nothing moved it before the window (steps)
 * @param full times platter speed at full deflection
 */
export function curveOf(
  strokes: readonly Stroke[],
  at: number,
  window: { readonly from: number; readonly to: number },
  full: number,
  timeline: Between,
  clock: Pick<Clock, "tick">,
): Curve {
  const origin = clock.tick(window.from, "straight");
  const end = clock.tick(window.to, "straight") - origin;
  const speeds = new Thinned(SPEED_BOUND);
  const positions = new Thinned(POSITION_BOUND);
  // The state at the window's start: still, where the last stroke before left the record.
  speeds.set(0, 0, true);
  positions.set(0, at, true);
  for (const [index, stroke] of strokes.entries()) {
    if (stroke.start >= window.to) break;
    if (stroke.end <= window.from) continue;
    const first = Math.max(stroke.start, window.from);
    const last = Math.min(stroke.end, window.to);
    for (let here = first; ; here = Math.min(here + GRID, last)) {
      const tick = clock.tick(here, "hands") - origin;
      const edge = here === stroke.start || here === last || here === window.from;
      speeds.set(tick, speedSteps(speedAt(stroke, here, timeline), full), edge);
      positions.set(tick, positionSteps(positionAt(stroke, here, timeline), stroke.repeat), edge);
      if (here === last) break;
    }
    // Let go where nothing follows at once.
    const next = strokes[index + 1];
    if (stroke.end < window.to && next?.start !== stroke.end) {
      speeds.set(clock.tick(stroke.end, "hands") - origin, 0, true);
    }
  }
  return { speeds: speeds.before(end), positions: positions.before(end) };
}
