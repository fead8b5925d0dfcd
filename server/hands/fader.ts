/**
 * The fader hand: a cycle of cells laid out in units, and the stretches in which it is open.
 *
 * The ear hears the re-opening as the note, so a click stands where the fader opens, on the grid, and its closure
 * takes its time from whatever is open before, in the cell before or further back. Openings are therefore all the
 * open stretches less the closures that come before clicks.
 */
import type { Cell, FaderCycle } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { type Fraction, fraction, multiply } from "../../schemas/fraction.ts";
import { compare, nearestUnits, parseFraction, unitsOf } from "../time/fraction.ts";
import { Memory } from "../../schemas/memory.ts";

export interface Stretch {
  readonly start: Units;
  readonly end: Units;
}

/** A re-opening at `at`, after `closed` units shut. */
export interface Click {
  readonly at: Units;
  readonly closed: Units;
}

export interface FaderRound {
  readonly length: Units;
  readonly step: Units;
  /** Open stretches of the cells as written, before any click's closure; in order, not merged. */
  readonly open: readonly Stretch[];
  readonly clicks: readonly Click[];
  /** Where each cell starts. */
  readonly cellStarts: readonly Units[];
  /** The longest closure. */
  readonly reach: Units;
}

export interface CellLengths {
  readonly length: Units | null;
  readonly split: Units | null;
  /** Of a click; of a pulse. Null where what the user wrote is finer than the clock. */
  readonly closed: Units | null;
  readonly openFor: Units | null;
}

const QUARTER = fraction(1, 4);
const HALF = fraction(1, 2);

/**
 * A default that would be finer than the clock is taken at the nearest whole unit; only what the user wrote is
 * refused.
 */
export function cellLengths(step: string, cell: Cell): CellLengths {
  const oneStep = parseFraction(step);
  const steps = parseFraction(cell.length ?? 1);
  const splitSteps = multiply(steps, fraction(1, cell.times ?? 1));
  const inUnits = (part: Fraction): Units | null => unitsOf(multiply(oneStep, part));
  const byDefault = (part: Fraction): Units => nearestUnits(multiply(oneStep, part));
  const shorter = compare(splitSteps, fraction(1)) < 0 ? splitSteps : fraction(1);
  return {
    length: inUnits(steps),
    split: inUnits(splitSteps),
    closed:
      cell.closedFor === undefined
        ? byDefault(multiply(shorter, QUARTER))
        : inUnits(parseFraction(cell.closedFor)),
    openFor:
      cell.openFor === undefined
        ? byDefault(multiply(splitSteps, HALF))
        : inUnits(parseFraction(cell.openFor)),
  };
}

function layOut(cycle: FaderCycle): FaderRound {
  const open: Stretch[] = [];
  const clicks: Click[] = [];
  const cellStarts: Units[] = [];
  let reach = 0;
  let at = 0;
  for (const cell of cycle.cells) {
    const { length, split, closed, openFor } = cellLengths(cycle.step, cell);
    if (length === null || split === null || closed === null || openFor === null) {
      throw new Error("a cell finer than the clock was not refused");
    }
    cellStarts.push(at as Units);
    for (let part = 0; part < (cell.times ?? 1); part++) {
      const start = (at + part * split) as Units;
      const end = (start + split) as Units;
      if (cell.fader === "click") {
        clicks.push({ at: start, closed });
        reach = Math.max(reach, closed);
      }
      if (cell.fader === "pulse") open.push({ start, end: (start + openFor) as Units });
      else if (cell.fader !== "closed") open.push({ start, end });
    }
    at += length;
  }
  return {
    length: at as Units,
    step: unitsOf(parseFraction(cycle.step)) as Units,
    open,
    clicks,
    cellStarts,
    reach: reach as Units,
  };
}

const known = new Memory<FaderCycle, FaderRound>();

/** The cycle in units, remembered by its identity. @throws where the cycle was not checked. */
export function faderRound(cycle: FaderCycle): FaderRound {
  let round = known.get(cycle);
  if (round === undefined) {
    round = layOut(cycle);
    known.set(cycle, round);
  }
  return round;
}

/** Stretches in order of start, those that touch or overlap made one. */
function merged(stretches: readonly Stretch[]): Stretch[] {
  const result: Stretch[] = [];
  let last: { start: Units; end: Units } | undefined;
  for (const { start, end } of stretches) {
    if (last !== undefined && start <= last.end) {
      if (end > last.end) last.end = end;
    } else if (end > start) {
      last = { start, end };
      result.push(last);
    }
  }
  return result;
}

/** What is left of `open` without `shut`; both merged and in order. */
function without(open: readonly Stretch[], shut: readonly Stretch[]): Stretch[] {
  const result: Stretch[] = [];
  let first = 0;
  for (const stretch of open) {
    let start = stretch.start;
    while (first < shut.length && (shut[first] as Stretch).end <= start) first++;
    for (let index = first; index < shut.length; index++) {
      const closure = shut[index] as Stretch;
      if (closure.start >= stretch.end) break;
      if (closure.start > start) result.push({ start, end: closure.start });
      start = closure.end;
    }
    if (start < stretch.end) result.push({ start, end: stretch.end });
  }
  return result;
}

/**
 * The longest open stretches of a placement of `duration` units that starts `from` units into the cycle, in units
 * from the placement's start. Nothing is shut before the placement's start, nor for a click that would come at or
 * after its end.
 */
export function openingsOf(round: FaderRound, from: Units, duration: Units): Stretch[] {
  const open: Stretch[] = [];
  const shut: Stretch[] = [];
  for (let turn = -from; turn < duration; turn += round.length) {
    for (const { start, end } of round.open) {
      const clippedStart = Math.max(0, turn + start);
      const clippedEnd = Math.min(duration, turn + end);
      if (clippedStart < clippedEnd) open.push({ start: clippedStart as Units, end: clippedEnd as Units });
    }
    for (const { at, closed } of round.clicks) {
      const opens = turn + at;
      if (opens > 0 && opens < duration) {
        shut.push({ start: Math.max(0, opens - closed) as Units, end: opens as Units });
      }
    }
  }
  shut.sort((a, b) => a.start - b.start);
  return without(merged(open), merged(shut));
}
