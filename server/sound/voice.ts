/**
 * The record's voice: reads prepared tables at positions that change all the time, forward and back.
 *
 * The work is done in cells of 16 frames on a fixed grid. The level (see tables.ts) is found from the speed at the
 * two ends of a cell and goes evenly between them; a value is read from the two neighbouring levels by blending
 * their six taps first and evaluating one polynomial (kernel.ts). So the result depends on position, speed and
 * grid alone, however a range is split. Numbers come in typed arrays: a double handed to a call would be allocated.
 */
import { KERNEL } from "./kernel.ts";
import { LEVELS_PER_OCTAVE } from "./levels.ts";
import type { Tables } from "./tables.ts";

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
  /**
   * Worked out while it is read, by frame: where the six taps start in the lower and in the upper level's row, how
   * far between the two levels it lies, and where between the two middle taps, less a half.
   */
  readonly lower: Int32Array;
  readonly upper: Int32Array;
  readonly blend: Float64Array;
  readonly between: Float64Array;
}

export const newCell = (): Cell => ({
  at: new Float64Array(CELL),
  speed: new Float64Array(2),
  gain: new Float64Array(2),
  lower: new Int32Array(CELL),
  upper: new Int32Array(CELL),
  blend: new Float64Array(CELL),
  between: new Float64Array(CELL),
});

function levelOf(speed: number, top: number): number {
  const size = Math.abs(speed);
  return size <= 1 || top === 0 ? 0 : Math.min(LEVELS_PER_OCTAVE * Math.log2(size), top - 1e-9);
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
  const { length, cyclic, offset, stride, scale, top } = tables;
  const { at, lower, upper, blend, between } = cell;
  const level0 = levelOf(cell.speed[0]!, top);
  const levelStep = (levelOf(cell.speed[1]!, top) - level0) / CELL;
  const rounds = 1 / length;
  let first = from;
  let last = to;
  for (let i = from; i < to; i++) {
    let position = at[i]!;
    if (cyclic) position -= Math.floor(position * rounds) * length;
    else if (position < 0 || position >= length) {
      // A record turns one way within a cell, or hardly at all: what is outside is at one of its ends.
      if (i === first) first++;
      else last = Math.min(last, i);
      continue;
    }
    const level = level0 + levelStep * i;
    const below = level | 0;
    const step = position * scale[below]!;
    const whole = step | 0;
    const tap = offset[below]! + whole;
    lower[i] = tap;
    upper[i] = tap + stride[below]!;
    blend[i] = level - below;
    between[i] = step - whole - 0.5;
  }
  const flat = level0 === 0 && levelStep === 0;
  const [one, two] = tables.data;
  if (two === undefined) addChannel(one!, cell, flat, first, last, left, right, out);
  else {
    addChannel(one!, cell, flat, first, last, left, null, out);
    addChannel(two, cell, flat, first, last, right, null, out);
  }
}

const [[A0, B0, C0], [A1, B1, C1], [A2, B2, C2], [A3, B3, C3], [A4, B4, C4], [A5, B5, C5]] = KERNEL;

/** One channel of the cell; `flat` says that it lies in level 0 alone, `twin` gets the same. */
function addChannel(
  row: Float32Array,
  { gain, lower, upper, blend, between }: Cell,
  flat: boolean,
  from: number,
  to: number,
  target: Float32Array,
  twin: Float32Array | null,
  out: number,
): void {
  const gain0 = gain[0]!;
  const gainStep = (gain[1]! - gain0) / CELL;
  for (let i = from; i < to; i++) {
    const a = lower[i]!;
    let y0: number = row[a]!;
    let y1: number = row[a + 1]!;
    let y2: number = row[a + 2]!;
    let y3: number = row[a + 3]!;
    let y4: number = row[a + 4]!;
    let y5: number = row[a + 5]!;
    if (!flat) {
      const b = upper[i]!;
      const part = blend[i]!;
      y0 += part * (row[b]! - y0);
      y1 += part * (row[b + 1]! - y1);
      y2 += part * (row[b + 2]! - y2);
      y3 += part * (row[b + 3]! - y3);
      y4 += part * (row[b + 4]! - y4);
      y5 += part * (row[b + 5]! - y5);
    }
    const even1 = y3 + y2;
    const odd1 = y3 - y2;
    const even2 = y4 + y1;
    const odd2 = y4 - y1;
    const even3 = y5 + y0;
    const odd3 = y5 - y0;
    const z = between[i]!;
    const c5 = odd1 * A5 + odd2 * B5 + odd3 * C5;
    const c4 = even1 * A4 + even2 * B4 + even3 * C4;
    const c3 = odd1 * A3 + odd2 * B3 + odd3 * C3;
    const c2 = even1 * A2 + even2 * B2 + even3 * C2;
    const c1 = odd1 * A1 + odd2 * B1 + odd3 * C1;
    const c0 = even1 * A0 + even2 * B0 + even3 * C0;
    const value = (gain0 + gainStep * i) * (((((c5 * z + c4) * z + c3) * z + c2) * z + c1) * z + c0);
    target[out + i] = target[out + i]! + value;
    if (twin !== null) twin[out + i] = twin[out + i]! + value;
  }
}
