/** One record under its hand: adds what its moves sound like to a range of frames, before the fader. */
import { type Move, firstFrame, positions, REST, speedAt } from "./motion.ts";
import { addSurface } from "./surface.ts";
import { CELL, newCell, readCell } from "./voice.ts";

export interface RecordOptions {
  /** A cartridge's voltage follows the record's speed; without, a moving record is as loud at any speed. */
  readonly cartridge: boolean;
  readonly surface: boolean;
  /** Degrees a second of the record at its own speed, for the surface. */
  readonly platter: number;
}

/** The record's speed beyond which its loudness rises no more, about: 14 dB over its own speed. */
const LOUDEST = 5;

/**
 * The cartridge's gain at a speed: 6 dB less for each halving, since its voltage follows velocity. It changes sign
 * with the direction, as the voltage does, and so goes through zero without a corner. Bends only near LOUDEST.
 */
export const cartridgeGain = (speed: number): number => speed / (1 + (speed / LOUDEST) ** 8) ** 0.125;

/** Index of the first move that ends after a frame. */
export function moveAt(moves: readonly Move[], frame: number): number {
  let low = 0;
  let high = moves.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (moves[middle]!.end <= frame) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Holds what a render needs from cell to cell, so that nothing is allocated while it runs. */
export function createRecord({ cartridge, surface, platter }: RecordOptions) {
  const cell = newCell();
  const gain = cell.gain;
  const speed = cell.speed;
  const edge = new Float64Array(2);

  /** Sets speed (times the record's own) and gain at one edge of the cell. */
  function control(moves: readonly Move[], index: number, frame: number, side: number): void {
    let i = index;
    while (i < moves.length && moves[i]!.end <= frame) i++;
    const move = moves[i];
    if (move === undefined || move.start > frame) {
      edge[side] = 0;
      gain[side] = 0;
      return;
    }
    const now = speedAt(move, frame);
    edge[side] = now;
    gain[side] = cartridge ? cartridgeGain(now) : move.kind === REST ? 0 : 1;
  }

  /**
   * Adds frames `start` to `start + frames` to `left` and `right` from `out` on. `first` is the index of the first
   * move that ends after `start`, as moveAt gives it for the start of the cell that `start` lies in.
   */
  return function play(
    moves: readonly Move[],
    start: number,
    frames: number,
    left: Float32Array,
    right: Float32Array,
    out: number,
  ): void {
    const end = start + frames;
    const firstCell = start - (start % CELL);
    let index = moveAt(moves, firstCell);
    for (let at = firstCell; at < end && index < moves.length; at += CELL) {
      while (index < moves.length && moves[index]!.end <= at) index++;
      control(moves, index, at, 0);
      control(moves, index, at + CELL, 1);
      const from = Math.max(0, start - at);
      const to = Math.min(CELL, end - at);
      for (let i = index; i < moves.length && moves[i]!.start < at + CELL; i++) {
        const move = moves[i]!;
        if (gain[0] === 0 && gain[1] === 0) continue;
        const a = firstFrame(move.start, at);
        const b = firstFrame(move.end, at);
        if (a >= b) continue;
        positions(move, at, a, b, cell.at);
        speed[0] = edge[0]! * move.unit;
        speed[1] = edge[1]! * move.unit;
        const low = Math.max(a, from);
        const high = Math.min(b, to);
        if (move.tables !== null) readCell(move.tables, cell, low, high, left, right, out + at - start);
        if (surface) {
          const perTurn = (move.unit * 48_000 * 360) / platter;
          addSurface(cell.at, gain, perTurn, low, high, left, right, out + at - start);
        }
      }
    }
  };
}
