/**
 * A MIDI file as a pattern: two keys are the record's moves forward and back, or a controller is its position; a
 * controller or a key is the fader. Keys tell what was heard: where the fader was shut, nothing says how the record
 * moved, and it is held.
 */
import type { Cell, Pattern, Stroke } from "../../../schemas/routine.ts";
import { bendsLeftOut, type MidiContent } from "./file.ts";
import { cycleOf } from "./cycle.ts";
import { gridOf } from "./grid.ts";
import { type Moved, movedBy } from "./record.ts";

const MOST_IN_CYCLE = 256;

export interface PatternChoice {
  readonly id: string;
  readonly name?: string;
  /** Of both hands, "1/64". */
  readonly step: string;
  readonly forward: number;
  readonly back: number;
  /** A controller is open from 64 on; a key while it sounds; left out, the fader is open throughout. */
  readonly fader?: { readonly controller: number } | { readonly key: number };
  /** The record's position, which then takes the place of the two keys; degrees of the platter that it goes round. */
  readonly position?: { readonly controller: number; readonly round: number };
  readonly tracks?: readonly number[];
}

export interface ReadPattern {
  readonly pattern: Pattern;
  /** The furthest that an edge was moved, in steps. */
  readonly error: number;
  readonly leftOut: readonly string[];
}

interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly what: Moved["stroke"] | { readonly fader: "open" | "closed" };
}

const OPEN = { fader: "open" } as const;
const CLOSED = { fader: "closed" } as const;
const withLength = (length: number): { length?: number } => (length === 1 ? {} : { length });

export function patternOf(
  content: MidiContent,
  choice: PatternChoice,
): ReadPattern | { readonly problem: string } {
  const { tracks: wanted, forward, back, fader, position } = choice;
  const taken = content.tracks.filter((_, index) => wanted === undefined || wanted.includes(index));
  const grid = gridOf(choice.step, content.ppq);
  const end = Math.max(0, ...taken.map((track) => grid.nearest(track.end)));
  if (end < 1) return { problem: "There is nothing in these tracks that lasts a step." };
  const byStart = (a: { from: number }, b: { from: number }): number => a.from - b.from;
  const notes = taken.flatMap((track) => track.notes).sort(byStart);
  let error = 0;
  let tooShort = 0;
  let others = 0;

  const onGrid = (tick: number): number => {
    error = Math.max(error, grid.error(tick));
    return Math.min(end, grid.nearest(tick));
  };

  const moves: Stretch[] = [];
  const openings: Stretch[] = [];
  const faderKey = fader !== undefined && "key" in fader ? fader.key : null;
  for (const { key, from, to } of notes) {
    if (position !== undefined && key !== faderKey) continue;
    if (key !== forward && key !== back && key !== faderKey) {
      others++;
      continue;
    }
    const [start, stop] = [onGrid(from), onGrid(to)];
    if (stop <= start) tooShort++;
    else if (key === faderKey) openings.push({ from: start, to: stop, what: OPEN });
    else moves.push({ from: start, to: stop, what: { move: key === forward ? "forward" : "back" } });
  }
  if (position !== undefined) {
    const where = { number: position.controller, round: position.round, ppq: content.ppq };
    for (const { from, to, stroke } of movedBy(taken, where)) {
      const [start, stop] = [onGrid(from), onGrid(to)];
      if (stop > start) moves.push({ from: start, to: stop, what: stroke });
      else tooShort++;
    }
  }
  if (fader !== undefined && "controller" in fader) {
    const changes = taken
      .flatMap((track) => track.controllers)
      .filter(({ number }) => number === fader.controller)
      .sort((a, b) => a.tick - b.tick);
    let since: number | null = null;
    for (const { value, tick } of changes) {
      if (value >= 64) since ??= tick;
      else if (since !== null) {
        const [start, stop] = [onGrid(since), onGrid(tick)];
        if (stop > start) openings.push({ from: start, to: stop, what: OPEN });
        else tooShort++;
        since = null;
      }
    }
    if (since !== null) openings.push({ from: onGrid(since), to: end, what: OPEN });
  }
  if (moves.length === 0) {
    return {
      problem:
        position === undefined
          ? `No note of key ${forward} or ${back} is in these tracks. Choose the keys of the record hand.`
          : `Controller ${position.controller} does not move in these tracks. Choose two keys for the record hand.`,
    };
  }

  const strokes = cycleOf(
    filled(moves, end, { move: "hold" }).map(
      ({ from, to, what }) => ({ ...what, ...withLength(to - from) }) as Stroke & { length?: number },
    ),
    choice.step,
  );
  const shut = fader === undefined ? [{ from: 0, to: end, what: OPEN }] : filled(openings, end, CLOSED);
  const cells =
    shut.length === 1
      ? // It never moves: a step is as good as the whole.
        { step: choice.step, parts: [shut[0]?.what as Cell] }
      : cycleOf(
          shut.map(
            ({ from, to, what }) => ({ ...what, ...withLength(to - from) }) as Cell & { length?: number },
          ),
          choice.step,
        );
  const [most, mostCells] = [strokes.parts.length, cells.parts.length];
  if (Math.max(most, mostCells) > MOST_IN_CYCLE) {
    return {
      problem: `This is ${most} strokes and ${mostCells} cells; a pattern has at most ${MOST_IN_CYCLE} of each. Take less of it.`,
    };
  }
  const { id, name } = choice;
  return {
    pattern: {
      id,
      ...(name === undefined ? {} : { name }),
      record: { step: strokes.step, strokes: strokes.parts },
      fader: { step: cells.step, cells: cells.parts },
    },
    error,
    leftOut: [
      ...content.leftOut,
      ...(position === undefined ? bendsLeftOut(content) : []),
      ...(others > 0 ? [`Left out: ${others} notes of other keys.`] : []),
      ...(tooShort > 0 ? [`Left out: ${tooShort} notes or openings shorter than half a step.`] : []),
    ],
  };
}

/** Stretches without gaps from 0 to `end`: what is between them is `between`; a later one cuts off an earlier. */
function filled(stretches: readonly Stretch[], end: number, between: Stretch["what"]): Stretch[] {
  const result: Stretch[] = [];
  const sorted = [...stretches].sort((a, b) => a.from - b.from);
  let at = 0;
  for (const [index, { from, to, what }] of sorted.entries()) {
    const stop = Math.min(to, sorted[index + 1]?.from ?? end, end);
    if (from > at) result.push({ from: at, to: from, what: between });
    if (stop > from) result.push({ from, to: stop, what });
    at = Math.max(at, stop);
  }
  if (at < end) result.push({ from: at, to: end, what: between });
  return result;
}
