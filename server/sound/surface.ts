/** The faint sound of a record's surface: hiss and a few ticks, the same each turn, as loud as the record is fast. */
import { seeded } from "./random.ts";
import { CELL } from "./voice.ts";

/** Values in a turn, a power of two. */
const TURN = 65_536;
/** Hiss against full scale, root mean square: −66 dB. */
const HISS = 0.0005;
const TICKS = 14;

function groove(seed: number): Float32Array {
  const random = seeded(seed);
  const values = new Float32Array(TURN);
  let slow = 0;
  for (let i = 0; i < TURN; i++) {
    const white = random() - random();
    slow += 0.05 * (white - slow);
    values[i] = HISS * (1.6 * white + 4 * slow);
  }
  for (let tick = 0; tick < TICKS; tick++) {
    const at = Math.floor(random() * TURN);
    const size = HISS * (6 + 14 * random());
    const sign = random() < 0.5 ? -1 : 1;
    for (let i = 0; i < 40; i++) {
      const place = (at + i) % TURN;
      values[place] = values[place]! + sign * size * Math.exp(-i / 8) * Math.cos(i / 1.7);
    }
  }
  return values;
}

const LEFT = groove(3301);
const RIGHT = groove(3302);

/**
 * Adds the surface for frames `from` to `to` of a cell. `at` says where the record stands, in samples of which
 * perTurn[0] make a turn; the gain goes evenly from gain[0] to gain[1] over the cell.
 */
export function addSurface(
  at: Float64Array,
  gain: Float64Array,
  perTurn: Float64Array,
  from: number,
  to: number,
  left: Float32Array,
  right: Float32Array,
  out: number,
): void {
  const step = TURN / perTurn[0]!;
  const gainStep = (gain[1]! - gain[0]!) / CELL;
  for (let i = from; i < to; i++) {
    const place = at[i]! * step;
    const whole = Math.floor(place);
    const part = place - whole;
    const a = whole & (TURN - 1);
    const b = (whole + 1) & (TURN - 1);
    const loud = gain[0]! + gainStep * i;
    left[out + i] = left[out + i]! + loud * (LEFT[a]! + part * (LEFT[b]! - LEFT[a]!));
    right[out + i] = right[out + i]! + loud * (RIGHT[a]! + part * (RIGHT[b]! - RIGHT[a]!));
  }
}
