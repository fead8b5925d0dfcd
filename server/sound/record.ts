/** One record under its hand: adds what its moves sound like to a range of frames, before the fader. */
import { type Move, motionAt, REST } from "./motion.ts";
import { RATE } from "./rate.ts";
import { addSurface } from "./surface.ts";
import { CELL, newCell, readCell } from "./voice.ts";

export interface RecordOptions {
  /** A cartridge's voltage follows the record's speed; without, a moving record is as loud at any speed. */
  readonly cartridge: boolean;
  readonly surface: boolean;
  /** Degrees a second of the record at its own speed, for the surface. */
  readonly platter: number;
}

/**
 * The speed beyond which loudness hardly rises, 9.5 dB over the record's own: by then most of the sound lies above
 * 2 kHz, where RIAA equalisation takes back what velocity gives. Room for more would leave slow strokes too soft.
 */
const LOUDEST = 3;

/**
 * Sets gain[side] to a cartridge's gain at the speed in speeds[side]: 6 dB less for each halving, since its voltage
 * follows velocity. It changes sign with the direction, as the voltage does, and so goes through zero without a
 * corner. Bends only near LOUDEST.
 */
function cartridgeGain(speeds: Float64Array, gain: Float64Array, side: 0 | 1): void {
  const speed = speeds[side]!;
  const over = (speed * speed) / (LOUDEST * LOUDEST);
  const fourth = over * over;
  gain[side] = speed / Math.sqrt(Math.sqrt(Math.sqrt(1 + fourth * fourth)));
}

/** Index of the first move that ends after a frame. */
function moveAt(moves: readonly Move[], frame: number): number {
  let low = 0;
  let high = moves.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (moves[middle]!.end <= frame) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Adds frames `start` to `start + frames` of what the moves sound like to `left` and `right` from `out` on. */
export type Play = (
  moves: readonly Move[],
  start: number,
  frames: number,
  left: Float32Array,
  right: Float32Array,
  out: number,
) => void;

/** Holds what a render needs from cell to cell, so that nothing is allocated while it runs. */
export function createRecord({ cartridge, surface, platter }: RecordOptions): Play {
  const cell = newCell();
  const { at, speed, gain } = cell;
  /** Times the record's own speed at the cell's two edges. */
  const edge = new Float64Array(2);
  const first = new Float64Array(2);
  const last = new Float64Array(2);
  const perTurn = new Float64Array(1);
  /** Where the part of a move begins that is placed, and how long it is: frames, not whole. */
  const span = new Float64Array(2);

  /** Sets one edge of the cell from the speed that stands in `from`; no double is handed over, it would be allocated. */
  function edgeFrom(from: Float64Array, move: Move, side: 0 | 1): void {
    edge[side] = from[1]! / move.unit;
    if (cartridge) cartridgeGain(edge, gain, side);
    else gain[side] = 1;
  }

  /** Sets speed and gain at one edge of the cell; `index` is of a move that ends after it or earlier ones. */
  function control(moves: readonly Move[], index: number, frame: number, side: 0 | 1): void {
    let i = index;
    while (i < moves.length && moves[i]!.end <= frame) i++;
    const move = moves[i];
    if (move === undefined || move.start > frame || move.kind === REST) {
      edge[side] = 0;
      gain[side] = 0;
      return;
    }
    first[0] = frame;
    motionAt(move, first);
    edgeFrom(first, move, side);
  }

  /**
   * Positions of a cell's frames `a` to `b` within one move, from what stands in `first` and `last`: a cubic through
   * position and speed at the start and the end of `span`, whose error over 16 frames is far under a millionth of a
   * sample for any hand.
   */
  function place(start: number, a: number, b: number): void {
    const begin = span[0]!;
    const length = span[1]!;
    const p0 = first[0]!;
    const v0 = first[1]!;
    const v1 = last[1]!;
    const mean = (last[0]! - p0) / length;
    const c2 = (3 * mean - 2 * v0 - v1) / length;
    const c3 = (v0 + v1 - 2 * mean) / (length * length);
    for (let i = a; i < b; i++) {
      const t = start + i - begin;
      at[i] = p0 + t * (v0 + t * (c2 + t * c3));
    }
  }

  function sound(
    move: Move,
    a: number,
    b: number,
    left: Float32Array,
    right: Float32Array,
    out: number,
  ): void {
    speed[0] = edge[0]! * move.unit;
    speed[1] = edge[1]! * move.unit;
    if (move.tables !== null) readCell(move.tables, cell, a, b, left, right, out);
    perTurn[0] = (move.unit * RATE * 360) / platter;
    if (surface) addSurface(at, gain, perTurn, a, b, left, right, out);
  }

  return function play(moves, start, frames, left, right, out) {
    const end = start + frames;
    const firstCell = start - (start % CELL);
    let index = moveAt(moves, firstCell);
    let reached = -1;
    for (let from = firstCell; from < end && index < moves.length; from += CELL) {
      while (index < moves.length && moves[index]!.end <= from) index++;
      const only = moves[index];
      if (only === undefined) return;
      const low = Math.max(0, start - from);
      const high = Math.min(CELL, end - from);
      // Most cells lie within one move, which goes on from where the last cell ended.
      if (only.start <= from && only.end > from + CELL) {
        if (only.kind === REST) continue;
        if (reached === index) first.set(last);
        else {
          first[0] = from;
          motionAt(only, first);
        }
        last[0] = from + CELL;
        motionAt(only, last);
        reached = index;
        edgeFrom(first, only, 0);
        edgeFrom(last, only, 1);
        span[0] = from;
        span[1] = CELL;
        place(from, low, high);
        sound(only, low, high, left, right, out + from - start);
        continue;
      }
      reached = -1;
      control(moves, index, from, 0);
      control(moves, index, from + CELL, 1);
      if (gain[0] === 0 && gain[1] === 0) continue;
      for (let i = index; i < moves.length && moves[i]!.start < from + CELL; i++) {
        const move = moves[i]!;
        const a = Math.max(low, Math.ceil(move.start - from));
        const b = Math.min(high, Math.ceil(move.end - from));
        if (a >= b) continue;
        span[0] = first[0] = Math.max(move.start, from);
        last[0] = Math.min(move.end, from + CELL);
        span[1] = last[0] - span[0];
        motionAt(move, first);
        motionAt(move, last);
        place(from, a, b);
        sound(move, a, b, left, right, out + from - start);
      }
    }
  };
}
