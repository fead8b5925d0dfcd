/**
 * Loudness of a whole, by ITU-R BS.1770-4, Annex 1: K-weighting, blocks of 400 ms that overlap by three quarters, an
 * absolute gate at −70 LKFS and a relative one 10 LU below what passes it. At 48 kHz, for which the standard gives its
 * coefficients (Tables 1 and 2). Left and right count alike.
 */
import { RATE } from "./rate.ts";
import { peakAt, REACH } from "../../schemas/truePeak.ts";

const SHELF = {
  b: [1.53512485958697, -2.69169618940638, 1.19839281085285],
  a: [-1.69065929318241, 0.73248077421585],
} as const;
const HIGH_PASS = { b: [1, -2, 1], a: [-1.99004745483398, 0.99007225036621] } as const;

/** Frames of a quarter of a block. */
const QUARTER = 0.1 * RATE;
const ABSOLUTE_GATE = -70;
const RELATIVE_GATE = -10;

export interface Meter {
  /** Adds frames; may be called with any number of them. */
  add(left: Float32Array, right: Float32Array, frames: number): void;
  /** LKFS of all that was added; −Infinity where nothing passes the gates. */
  integrated(): number;
  /** dBTP of all that was added; −Infinity for silence. */
  truePeak(): number;
}

const loudness = (power: number): number => -0.691 + 10 * Math.log10(power);

export function createMeter(): Meter {
  const filters = [new Float64Array(4), new Float64Array(4)];
  const history = [new Float32Array(2 * REACH), new Float32Array(2 * REACH)];
  const quarters: number[] = [];
  let energy = 0;
  let filled = 0;
  let peak = 0;

  /** Both stages in transposed form; state is two values a stage. */
  function weighted(x: number, state: Float64Array): number {
    const y = SHELF.b[0] * x + state[0]!;
    state[0] = SHELF.b[1] * x - SHELF.a[0] * y + state[1]!;
    state[1] = SHELF.b[2] * x - SHELF.a[1] * y;
    const z = HIGH_PASS.b[0] * y + state[2]!;
    state[2] = HIGH_PASS.b[1] * y - HIGH_PASS.a[0] * z + state[3]!;
    state[3] = HIGH_PASS.b[2] * y - HIGH_PASS.a[1] * z;
    return z;
  }

  function look(x: number, past: Float32Array): void {
    past.copyWithin(0, 1);
    past[2 * REACH - 1] = x;
    peak = Math.max(peak, peakAt(past, REACH - 1));
  }

  return {
    add(left, right, frames) {
      for (let i = 0; i < frames; i++) {
        const l = weighted(left[i]!, filters[0]!);
        const r = weighted(right[i]!, filters[1]!);
        energy += l * l + r * r;
        look(left[i]!, history[0]!);
        look(right[i]!, history[1]!);
        if (++filled === QUARTER) {
          quarters.push(energy / QUARTER);
          energy = 0;
          filled = 0;
        }
      }
    },
    integrated() {
      const blocks: number[] = [];
      for (let i = 3; i < quarters.length; i++) {
        blocks.push((quarters[i - 3]! + quarters[i - 2]! + quarters[i - 1]! + quarters[i]!) / 4);
      }
      const over = (gate: number): number => {
        const passing = blocks.filter((power) => loudness(power) > gate);
        return loudness(passing.reduce((sum, power) => sum + power, 0) / passing.length);
      };
      const ungated = over(ABSOLUTE_GATE);
      return Number.isNaN(ungated)
        ? Number.NEGATIVE_INFINITY
        : over(Math.max(ABSOLUTE_GATE, ungated + RELATIVE_GATE));
    },
    truePeak() {
      // The last samples have had no neighbours after them yet: silence follows.
      let last = peak;
      for (const past of history) {
        const rest = Float32Array.from({ length: 3 * REACH }, (_, i) => past[i] ?? 0);
        for (let at = REACH; at < 2 * REACH; at++) last = Math.max(last, peakAt(rest, at));
      }
      return 20 * Math.log10(last);
    },
  };
}
