/**
 * The record's voice: reads prepared tables at positions that change all the time, forward and back.
 *
 * The work is done in cells of 16 frames on a fixed grid. The level (see tables.ts) is found from the speed at the
 * two ends of a cell and goes evenly between them; a value is read from the two neighbouring levels by blending
 * their six taps first and evaluating one polynomial (kernel.ts). So the result depends on position, speed and
 * grid alone, however a range is split. Numbers come in typed arrays: a double handed to a call would be allocated.
 */
import { KERNEL } from "./kernel.ts";
import { LEVELS_PER_OCTAVE, type Tables } from "./tables.ts";

/** Frames in a cell. */
export const CELL = 16;

/** What a cell is read with. */
export interface Cell {
  /** By frame: where to read, samples from the start of the tables. */
  readonly at: Float64Array;
  /** Samples a frame at the cell's start and end (of which only the size counts). */
  readonly speed: Float64Array;
  /** Gain at the cell's start and end; it goes evenly in between. */
  readonly gain: Float64Array;
}

export const newCell = (): Cell => ({
  at: new Float64Array(CELL),
  speed: new Float64Array(2),
  gain: new Float64Array(2),
});

function levelOf(speed: number, top: number): number {
  const size = Math.abs(speed);
  return size <= 1 ? 0 : Math.min(LEVELS_PER_OCTAVE * Math.log2(size), top - 1e-9, 1e9);
}

/**
 * Adds frames `from` to `to` (not included, both 0 to 16) of a cell to `left` and `right` at `out` + frame.
 * Outside a sample that does not repeat there is silence.
 */
export function readCell(
  tables: Tables,
  cell: Cell,
  from: number,
  to: number,
  left: Float32Array,
  right: Float32Array,
  out: number,
): void {
  const { length, cyclic, offset, stride, scale } = tables;
  const one = tables.data[0]!;
  const two = tables.data[1];
  const at = cell.at;
  const level0 = tables.top === 0 ? 0 : levelOf(cell.speed[0]!, tables.top);
  const level1 = tables.top === 0 ? 0 : levelOf(cell.speed[1]!, tables.top);
  const levelStep = (level1 - level0) / CELL;
  const gain0 = cell.gain[0]!;
  const gainStep = (cell.gain[1]! - gain0) / CELL;
  const rounds = 1 / length;
  for (let i = from; i < to; i++) {
    const level = level0 + levelStep * i;
    const below = level | 0;
    const blend = level - below;
    let position = at[i]!;
    if (cyclic) position -= Math.floor(position * rounds) * length;
    else if (position < 0 || position >= length) continue;
    const step = position * scale[below]!;
    const whole = step | 0;
    const z = step - whole - 0.5;
    const a = offset[below]! + whole;
    const b = a + stride[below]!;
    const gain = gain0 + gainStep * i;
    const value = gain * valueAt(one, a, b, blend, z);
    left[out + i] = left[out + i]! + value;
    right[out + i] = right[out + i]! + (two === undefined ? value : gain * valueAt(two, a, b, blend, z));
  }
}

const [[A0, B0, C0], [A1, B1, C1], [A2, B2, C2], [A3, B3, C3], [A4, B4, C4], [A5, B5, C5]] = KERNEL;

/** The two rows' six taps from `a` and `b` on, blended, and the polynomial at z (−1/2 to 1/2). */
function valueAt(row: Float32Array, a: number, b: number, blend: number, z: number): number {
  const a0 = row[a]!;
  const a1 = row[a + 1]!;
  const a2 = row[a + 2]!;
  const a3 = row[a + 3]!;
  const a4 = row[a + 4]!;
  const a5 = row[a + 5]!;
  const y0 = a0 + blend * (row[b]! - a0);
  const y1 = a1 + blend * (row[b + 1]! - a1);
  const y2 = a2 + blend * (row[b + 2]! - a2);
  const y3 = a3 + blend * (row[b + 3]! - a3);
  const y4 = a4 + blend * (row[b + 4]! - a4);
  const y5 = a5 + blend * (row[b + 5]! - a5);
  const even1 = y3 + y2;
  const odd1 = y3 - y2;
  const even2 = y4 + y1;
  const odd2 = y4 - y1;
  const even3 = y5 + y0;
  const odd3 = y5 - y0;
  const c0 = even1 * A0 + even2 * B0 + even3 * C0;
  const c1 = odd1 * A1 + odd2 * B1 + odd3 * C1;
  const c2 = even1 * A2 + even2 * B2 + even3 * C2;
  const c3 = odd1 * A3 + odd2 * B3 + odd3 * C3;
  const c4 = even1 * A4 + even2 * B4 + even3 * C4;
  const c5 = odd1 * A5 + odd2 * B5 + odd3 * C5;
  return ((((c5 * z + c4) * z + c3) * z + c2) * z + c1) * z + c0;
}
