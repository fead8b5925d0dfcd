/**
 * A look-ahead limiter: holds the true peak below −1 dBTP without ever going up or down abruptly.
 *
 * It works in cells of 16 frames. Each cell's true peak says what gain it needs; a minimum over the cells ahead, a
 * slow rise afterwards, and a mean over as many cells give gains at the cells' edges, even in between, that are never
 * above what any cell needs. The sound comes out `delay` frames late.
 */
import { RATE } from "./rate.ts";
import { LARGEST_OVERSHOOT, peakAt } from "./truepeak.ts";
import { CELL } from "./voice.ts";

/** −1 dBTP, less what peaks between samples can be missed by. */
const CEILING = 10 ** (-1.15 / 20);
/** Cells ahead: 2 ms. */
const AHEAD = 6;
/** Part of the way back to full gain that is made good in a cell: a time constant of 80 ms. */
const RELEASE = 1 - Math.exp(-CELL / (0.08 * RATE));
/** Cells kept: the one that goes out, those ahead of it, and the newest, whose end is not known yet. */
const KEPT = AHEAD + 2;
const NEWEST = KEPT - 1;

export interface Limiter {
  /** Frames by which what comes out is late. */
  readonly delay: number;
  /** Limits frames in place; `frames` is a multiple of 16. The same however a sound is split. */
  process(left: Float32Array, right: Float32Array, frames: number): void;
}

export function createLimiter(): Limiter {
  const kept = [new Float32Array(KEPT * CELL), new Float32Array(KEPT * CELL)] as const;
  /** By kept cell, the oldest first: largest sample, and the gain that it needs. */
  const peaks = new Float64Array(KEPT);
  const needed = new Float64Array(KEPT).fill(1);
  /** The last gains after look-ahead and release, of which the mean is taken. */
  const held = new Float64Array(AHEAD).fill(1);
  let edge = 1;

  function need(cell: number): number {
    const around = Math.max(peaks[cell - 1]!, peaks[cell]!, peaks[cell + 1]!);
    if (around * LARGEST_OVERSHOOT <= CEILING) return 1;
    let peak = 0;
    for (let i = cell * CELL; i < (cell + 1) * CELL; i++) {
      peak = Math.max(peak, peakAt(kept[0], i), peakAt(kept[1], i));
    }
    return peak <= CEILING ? 1 : CEILING / peak;
  }

  function step(left: Float32Array, right: Float32Array, at: number): void {
    peaks.copyWithin(0, 1);
    needed.copyWithin(0, 1);
    kept[0].copyWithin(0, CELL);
    kept[1].copyWithin(0, CELL);
    let peak = 0;
    for (let i = 0; i < CELL; i++) {
      const l = left[at + i]!;
      const r = right[at + i]!;
      kept[0][NEWEST * CELL + i] = l;
      kept[1][NEWEST * CELL + i] = r;
      peak = Math.max(peak, Math.abs(l), Math.abs(r));
    }
    peaks[NEWEST] = peak;
    needed[NEWEST - 1] = need(NEWEST - 1);
    // The gain at the end of the cell that goes out: no more than it, the one after and all ahead need.
    let least = 1;
    for (let cell = 0; cell < NEWEST; cell++) least = Math.min(least, needed[cell]!);
    const before = held[AHEAD - 1]!;
    held.copyWithin(0, 1);
    held[AHEAD - 1] = Math.min(least, before + (1 - before) * RELEASE);
    let sum = 0;
    for (let i = 0; i < AHEAD; i++) sum += held[i]!;
    const next = sum / AHEAD;
    const slope = (next - edge) / CELL;
    for (let i = 0; i < CELL; i++) {
      const gain = edge + slope * i;
      left[at + i] = kept[0][i]! * gain;
      right[at + i] = kept[1][i]! * gain;
    }
    edge = next;
  }

  return {
    delay: NEWEST * CELL,
    process(left, right, frames) {
      for (let at = 0; at < frames; at += CELL) step(left, right, at);
    },
  };
}
