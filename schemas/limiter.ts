/**
 * A look-ahead limiter, the same in a file and in the page: holds the true peak below −1 dBTP without ever going up or down abruptly.
 *
 * It works in cells of 16 frames. Each cell's true peak says what gain it needs; a minimum over the cells ahead, a
 * slow rise afterwards, and a mean over as many cells give gains at the cells' edges, even in between, that are never
 * above what any cell needs. The sound comes out `delay` frames late.
 */
import { SAMPLE_RATE } from "./sound.ts";
import { LARGEST_OVERSHOOT, peakAt } from "./truePeak.ts";

/** Frames in a cell. */
const CELL = 16;
/** −1 dBTP, less what peaks between samples can be missed by. */
const CEILING = 10 ** (-1.15 / 20);
/** Cells ahead: 2 ms. */
const AHEAD = 6;
/** Part of the way back to full gain that is made good in a cell: a time constant of 80 ms. */
const RELEASE = 1 - Math.exp(-CELL / (0.08 * SAMPLE_RATE));
/** Cells at work: the one that goes out, those ahead of it, and the newest, whose end is not known yet. */
const WORK = AHEAD + 2;
/** Cells of the line along which they move before they are brought back to its start. */
const LINE = 64;

export interface Limiter {
  /** Frames by which what comes out is late. */
  readonly delay: number;
  /**
   * Limits frames in place; `frames` is a multiple of 16. The same however a sound is split.
   * @param gains where given, the gain of each frame that comes out is written there
   */
  process(left: Float32Array, right: Float32Array, frames: number, gains?: Float32Array): void;
}

export function createLimiter(): Limiter {
  const kept = [new Float32Array(LINE * CELL), new Float32Array(LINE * CELL)] as const;
  /** By cell of the line: largest sample, the gain that it needs, the gain held after look-ahead and release. */
  const peaks = new Float64Array(LINE);
  const needed = new Float64Array(LINE).fill(1);
  const held = new Float64Array(LINE).fill(1);
  /** The gain at the start of the cell that goes out; in an array, since a double of its own would be allocated. */
  const edge = new Float64Array([1]);
  let newest = WORK - 1;

  function need(cell: number): void {
    const around = Math.max(peaks[cell - 1]!, peaks[cell]!, peaks[cell + 1]!);
    needed[cell] = 1;
    if (around * LARGEST_OVERSHOOT <= CEILING) return;
    let peak = 0;
    for (let i = cell * CELL; i < (cell + 1) * CELL; i++) {
      peak = Math.max(peak, peakAt(kept[0], i), peakAt(kept[1], i));
    }
    if (peak > CEILING) needed[cell] = CEILING / peak;
  }

  /** Takes the next cell of both sides into the line. */
  function take(left: Float32Array, right: Float32Array, at: number): void {
    if (++newest === LINE) {
      newest = WORK - 1;
      const first = LINE - WORK + 1;
      peaks.copyWithin(0, first);
      needed.copyWithin(0, first);
      held.copyWithin(0, first);
      kept[0].copyWithin(0, first * CELL);
      kept[1].copyWithin(0, first * CELL);
    }
    const [one, two] = kept;
    let peak = 0;
    for (let i = 0, to = newest * CELL; i < CELL; i++, to++) {
      const l = left[at + i]!;
      const r = right[at + i]!;
      one[to] = l;
      two[to] = r;
      const a = Math.abs(l);
      const b = Math.abs(r);
      if (a > peak) peak = a;
      if (b > peak) peak = b;
    }
    peaks[newest] = peak;
  }

  function step(left: Float32Array, right: Float32Array, at: number, gains?: Float32Array): void {
    take(left, right, at);
    need(newest - 1);
    const going = newest - WORK + 1;
    // The gain to hold for the cell after the one that goes out: no more than either and all ahead need.
    let least = 1;
    for (let cell = going; cell < newest; cell++) if (needed[cell]! < least) least = needed[cell]!;
    const before = held[newest - 1]!;
    held[newest] = Math.min(least, before + (1 - before) * RELEASE);
    let sum = 0;
    for (let cell = newest - AHEAD + 1; cell <= newest; cell++) sum += held[cell]!;
    const gain = edge[0]!;
    const next = sum / AHEAD;
    const slope = (next - gain) / CELL;
    const [one, two] = kept;
    for (let i = 0, from = going * CELL; i < CELL; i++, from++) {
      left[at + i] = one[from]! * (gain + slope * i);
      right[at + i] = two[from]! * (gain + slope * i);
      if (gains !== undefined) gains[at + i] = gain + slope * i;
    }
    edge[0] = next;
  }

  return {
    delay: (WORK - 1) * CELL,
    process(left, right, frames, gains) {
      for (let at = 0; at < frames; at += CELL) step(left, right, at, gains);
    },
  };
}
