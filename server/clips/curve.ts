/**
 * The record hand as two continuous controls: bend for its speed, a 14-bit pair for its position. Both are thinned
 * to a stated bound: between two events the true value strays from the last one written by at most that, and a
 * little more only where it would need more than one event a tick of the grid.
 */
import type { StrokeEvent } from "../../schemas/performance.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { doneAfter } from "../hands/record.ts";
import type { Timeline } from "../time/timeline.ts";

/** Steps of the bend (of 8192 each way) and of the position (of 16384) that a curve may stray. */
export const BEND_BOUND = 128;
export const POSITION_BOUND = 64;

/** A curve is looked at this often: 48 times a quarter. */
const GRID = UNITS_PER_QUARTER / 48;

export interface Point {
  /** Absolute, units. */
  readonly at: number;
  /** Degrees, and times platter speed. */
  readonly position: number;
  readonly speed: number;
}

/** Degrees at an absolute position within a stroke. */
function positionAt(stroke: StrokeEvent, at: number, timeline: Timeline): number {
  if (stroke.direction === "hold" || at <= stroke.start) return stroke.from;
  if (at >= stroke.end) return stroke.to;
  if (stroke.shape === "released") {
    const seconds = (time: number): number => timeline.secondsAt(time, "hands");
    const whole = seconds(stroke.end) - seconds(stroke.start);
    return stroke.from + (stroke.to - stroke.from) * ((seconds(at) - seconds(stroke.start)) / whole);
  }
  const part = (at - stroke.start) / (stroke.fullEnd - stroke.start);
  return stroke.from + stroke.fullTravel * doneAfter(stroke.shape, part);
}

/** @param platter degrees a second at which the platter turns by itself */
export function pointAt(stroke: StrokeEvent, at: number, timeline: Timeline, platter: number): Point {
  const position = positionAt(stroke, at, timeline);
  if (stroke.direction === "hold") return { at, position, speed: 0 };
  const nudge = Math.min(GRID / 64, (stroke.end - stroke.start) / 8);
  const from = Math.max(stroke.start, at - nudge);
  const to = Math.min(stroke.end, at + nudge);
  const moved = positionAt(stroke, to, timeline) - positionAt(stroke, from, timeline);
  const seconds = timeline.secondsAt(to, "hands") - timeline.secondsAt(from, "hands");
  return { at, position, speed: moved / seconds / platter };
}

/** Where a stroke is looked at within a window: its start and end where they lie inside, and the grid between. */
export function* lookedAt(
  stroke: StrokeEvent,
  window: { readonly from: number; readonly to: number },
): Generator<number> {
  const from = Math.max(stroke.start, window.from);
  const to = Math.min(stroke.end, window.to);
  for (let at = from; at < to; at += GRID) yield at;
  yield to;
}

/** -8192 to 8191, 0 the record still. @param full times platter speed at full deflection */
export const bendOf = (speed: number, full: number): number =>
  Math.max(-8192, Math.min(8191, Math.round((speed / full) * 8192)));

/** 0 to 16383 within the sample's repeat; within a turn where it does not repeat. */
export function positionSteps(degrees: number, repeat: number): number {
  const round = repeat === 0 ? 360 : repeat;
  const part = degrees / round - Math.floor(degrees / round);
  return Math.min(16_383, Math.floor(part * 16_384));
}
