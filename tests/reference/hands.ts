/** What each hand does, from the written cycles alone: moves of the record, and where the fader is open. */
import type { Cell, FaderCycle, RecordCycle, Stroke } from "../../schemas/routine.ts";
import { stepOf, unitsOf } from "./layout.ts";
import { earlier, nearest, rational, whole } from "./rational.ts";

export interface Stretch {
  readonly start: bigint;
  readonly end: bigint;
}
/** One move with its whole course, not yet cut off. */
export interface Move extends Stretch {
  readonly direction: "forward" | "back" | "hold";
  readonly stroke: Stroke;
}

const OTHER = { forward: "back", back: "forward", hold: "hold" } as const;

/** The moves of a repeating record cycle that start from `start` up to `end`, beginning with stroke `from`. */
export function movesOf({ strokes, step }: RecordCycle, from: number, start: bigint, end: bigint): Move[] {
  const moves: Move[] = [];
  let at = start;
  for (let n = from; at < end; n = (n + 1) % strokes.length) {
    const stroke = strokes[n]!;
    const parts = stroke.times ?? 1;
    const part = whole(rational(unitsOf(stroke.length ?? 1, step), parts));
    for (let k = 0; k < parts; k++) {
      const direction = k % 2 === 0 ? stroke.move : OTHER[stroke.move];
      if (at < end) moves.push({ start: at, end: at + part, direction, stroke });
      at += part;
    }
  }
  return moves;
}

/** A cell's open stretches, and the closures before its clicks, each click being where its closure ends. */
function cellParts(
  cell: Cell,
  step: string,
  at: bigint,
): { open: Stretch[]; closures: Stretch[]; end: bigint } {
  const length = unitsOf(cell.length ?? 1, step);
  const end = at + length;
  if (cell.fader === "open") return { open: [{ start: at, end }], closures: [], end };
  if (cell.fader === "closed") return { open: [], closures: [], end };
  const parts = cell.times ?? 1;
  const part = whole(rational(length, parts));
  const starts = Array.from({ length: parts }, (_, k) => at + BigInt(k) * part);
  if (cell.fader === "pulse") {
    const openFor = cell.openFor === undefined ? nearest(rational(part, 2)) : unitsOf(cell.openFor, step);
    return { open: starts.map((start) => ({ start, end: start + openFor })), closures: [], end };
  }
  const shorter = earlier(stepOf(step), part);
  const closedFor =
    cell.closedFor === undefined ? nearest(rational(shorter, 4)) : unitsOf(cell.closedFor, step);
  return {
    open: starts.map((start) => ({ start, end: start + part })),
    closures: starts.map((start) => ({ start: start - closedFor, end: start })),
    end,
  };
}

/** Open stretches and closures of a repeating fader cycle for cells that start from `start` up to `end`. */
export function cellsOf({ cells, step }: FaderCycle, from: number, start: bigint, end: bigint) {
  const open: Stretch[] = [];
  const closures: Stretch[] = [];
  for (let n = from, at = start; at < end; n = (n + 1) % cells.length) {
    const parts = cellParts(cells[n]!, step, at);
    open.push(...parts.open);
    closures.push(...parts.closures);
    at = parts.end;
  }
  return { open, closures };
}

/** The longest stretches from `start` to `end` that lie in some open stretch and in no closure. */
export function openStretches(
  open: readonly Stretch[],
  closures: readonly Stretch[],
  start: bigint,
  end: bigint,
): Stretch[] {
  const edges = [start, end, ...[...open, ...closures].flatMap((one) => [one.start, one.end])]
    .filter((edge) => start <= edge && edge <= end)
    .sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  const covers = (at: bigint) => (one: Stretch) => one.start <= at && at < one.end;
  const found: { start: bigint; end: bigint }[] = [];
  edges.forEach((edge, n) => {
    const next = edges[n + 1];
    if (next === undefined || next === edge) return;
    if (!open.some(covers(edge)) || closures.some(covers(edge))) return;
    const before = found.at(-1);
    if (before?.end === edge) before.end = next;
    else found.push({ start: edge, end: next });
  });
  return found;
}

/** The openings of a placement: nothing is shut for a click at its start, or at or after its end. */
export function openingsOf(cycle: FaderCycle, from: number, start: bigint, end: bigint): Stretch[] {
  const { open, closures } = cellsOf(cycle, from, start, end);
  const shut = closures.filter(({ end: click }) => start < click && click < end);
  return openStretches(open, shut, start, end);
}

/** The part of its travel that a stroke has done after the part u of its length. */
export function done(shape: "eased" | "even", u: number): number {
  return shape === "even" ? u : (1 - Math.cos(Math.PI * u)) / 2;
}

/** Exactly how far into a move a position is, 0 to 1. */
export const partOf = (move: Stretch, at: bigint): number => {
  const part = rational(at - move.start, move.end - move.start);
  return Number(part.over) / Number(part.under);
};
